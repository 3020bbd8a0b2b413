import { writtenOut } from '../log/log-headers.js';
import type { SparkplugPoint, SparkplugStream } from '../telemetry/index.js';
import type { BornMetric } from './edge-node.js';
import { offeredUnit } from './point-units.js';
import { pointQuantities } from './read-points.js';

export type PointGuess = Pick<SparkplugPoint, 'stream' | 'number' | 'quantity'> & {
  /** Null: its birth names none that fits. */
  unit: string | null;
};

/** How names in the field put the contract's quantities, the particular before the general (common practice, no source). */
const quantities: readonly (readonly [RegExp, SparkplugStream, string])[] = [
  [/superheat setpoint/, 'circuits', 'superheat-setpoint'],
  [/(suction|evap(orat(or|ing))?) pressure/, 'circuits', 'suction-pressure'],
  [/suction (gas |line |pipe )?temperature/, 'circuits', 'suction-temperature'],
  [/(discharge|condens(er|ing)|head) pressure/, 'circuits', 'discharge-pressure'],
  [/(discharge|hot) (gas |line )?temperature/, 'circuits', 'discharge-temperature'],
  [/(liquid( line)?|subcooled liquid) temperature/, 'circuits', 'liquid-temperature'],
  [/valve opening( 2|2)|second valve/, 'circuits', 'valve-opening-2'],
  [/valve opening|valve (percent|command)|\beev\b|\bexv\b/, 'circuits', 'valve-opening'],
  [/compressor (load|capacity|speed)|(^| )(load|capacity)( percent)?$/, 'circuits', 'compressor-load'],
  [/compressor (power|kw)|(power|kw)( input)?$/, 'circuits', 'compressor-power'],
  [/condenser (water )?(entering|inlet|supply)/, 'condenser', 'entering-temperature'],
  [/condenser (water )?(leaving|outlet|return)/, 'condenser', 'leaving-temperature'],
  [/condenser (water )?flow/, 'condenser', 'flow'],
  [/fan speed/, 'condenser', 'fan-speed'],
  [/ambient|outdoor|outside/, 'water', 'ambient-temperature'],
  [/\b(entering|inlet|return|ewt|chwr)\b/, 'water', 'entering-temperature'],
  [/\b(leaving|outlet|supply|lwt|chws)\b/, 'water', 'leaving-temperature'],
  [/\bflow\b/, 'water', 'flow'],
  [/mains/, 'backup', 'mains'],
  [/(backup|capacitor|module|ups) .*voltage/, 'backup', 'voltage'],
  [/(backup|capacitor|module|ups) .*current/, 'backup', 'current'],
  [/(backup|capacitor|module|ups) .*temperature/, 'backup', 'temperature'],
  [/(backup|capacitor|module|ups) .*(health|ok|fault)/, 'backup', 'health'],
];

const numeric = /^(U?Int\d+|Float|Double|Boolean)$/;

/**
 * Which quantity a metric probably is, by the words of its name and its device; null: nothing like it. A guess for a form, which
 * a person confirms.
 *
 * @param parts numbers of the unit's circuits and backup modules
 */
export function guessPoint(
  { name, type, unit }: Pick<BornMetric, 'name' | 'type' | 'unit'>,
  device: string,
  parts: { circuits: readonly number[]; modules: readonly number[] },
): PointGuess | null {
  if (!numeric.test(type)) return null;
  const words = spaced(name);
  const plain = writtenOut(words.replace(partNumber, '$1 '));
  const found = quantities.find(([pattern]) => pattern.test(plain));
  if (found === undefined) return null;
  const [, stream, quantity] = found;
  const definition = pointQuantities[stream].find((metric) => metric.name === quantity)!;
  if ((definition.unit === 'bool') !== (type === 'Boolean')) return null;
  const gate = { metric: definition, difference: quantity === 'superheat-setpoint' };
  const of = stream === 'circuits' ? parts.circuits : stream === 'backup' ? parts.modules : null;
  const number = of === null ? undefined : (numberIn(words) ?? numberIn(spaced(device)) ?? of[0]);
  if (of !== null && (number === undefined || !of.includes(number))) return null;
  return {
    ...{ stream, number, quantity },
    unit: definition.unit === 'bool' ? 'on/off' : unit === null ? null : offeredUnit(unit, gate),
  };
}

const partNumber = /\b(circuit|ckt|circ|system|sys|compressor|comp|module|backup)\s*#?([1-9]\d?|[a-d])\b/;

function numberIn(words: string): number | undefined {
  const match = partNumber.exec(words);
  if (match === null) return undefined;
  const number = Number(match[2]);
  return Number.isNaN(number) ? match[2].charCodeAt(0) - 'a'.charCodeAt(0) + 1 : number;
}

/** Folders, underscores and capitals as blanks, in small letters. */
const spaced = (name: string): string =>
  name
    .replace(/([a-z])([A-Z0-9])/g, '$1 $2')
    .replace(/[/_\-.:[\]()]+/g, ' ')
    .toLowerCase()
    .trim();
