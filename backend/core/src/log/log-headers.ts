import type { circuitSeriesColumns } from '../telemetry/circuit-series.js';
import { pressureUnit, writtenUnits, type Convert, type UnitKind } from './written-units.js';

type Kind = UnitKind;
type Column = (typeof circuitSeriesColumns)[number];

const names: Record<string, { column: Column; kind: Kind }> = {
  suction_pressure: { column: 'suctionPressure_Pa', kind: 'pressure' },
  suction_temperature: { column: 'suctionTemperature_K', kind: 'temperature' },
  valve_opening: { column: 'valveOpening_pct', kind: 'percent' },
  discharge_pressure: { column: 'dischargePressure_Pa', kind: 'pressure' },
  discharge_temperature: { column: 'dischargeTemperature_K', kind: 'temperature' },
  liquid_temperature: { column: 'liquidTemperature_K', kind: 'temperature' },
  superheat_setpoint: { column: 'superheatSetpoint_K', kind: 'temperature-difference' },
  compressor_load: { column: 'compressorLoad_pct', kind: 'percent' },
  entering_temperature: { column: 'enteringWaterTemperature_K', kind: 'temperature' },
  leaving_temperature: { column: 'leavingWaterTemperature_K', kind: 'temperature' },
  flow: { column: 'waterFlow_m3_s', kind: 'flow' },
  condenser_entering_temperature: { column: 'condenserEnteringTemperature_K', kind: 'temperature' },
  condenser_leaving_temperature: { column: 'condenserLeavingTemperature_K', kind: 'temperature' },
  condenser_flow: { column: 'condenserFlow_m3_s', kind: 'flow' },
  condenser_fan_speed: { column: 'condenserFanSpeed_pct', kind: 'percent' },
  compressor_power: { column: 'compressorPower_W', kind: 'power' },
  ambient_temperature: { column: 'ambientTemperature_K', kind: 'temperature' },
};

/** Words that loggers shorten or put otherwise, as the trade does (common practice, no source). */
const words: readonly (readonly [RegExp, string])[] = [
  [/\b(?:temp|tmp)\b\.?/g, 'temperature'],
  [/\b(?:press|pres)\b\.?/g, 'pressure'],
  [/\bsuct\b\.?/g, 'suction'],
  [/\b(?:disch|dis)\b\.?/g, 'discharge'],
  [/\bcond\b\.?/g, 'condenser'],
  [/\bcomp\b\.?/g, 'compressor'],
  [/\b(?:sh|superheat) (?:setpoint|set point|sp)\b/g, 'superheat setpoint'],
  [/\b(?:e[ex]v|expansion valve|valve) (?:position|pos|opening)\b/g, 'valve opening'],
  [/\b(entering|leaving) (?:condenser|cooling) water\b/g, 'condenser $1'],
  [/\b(?:chilled water|evaporator water|evaporator|chw) (?=entering|leaving|flow)/g, ''],
  [/\b(?:condenser water|cooling water|cw) (?=entering|leaving|flow|temperature)/g, 'condenser '],
  [/\b(entering|leaving) (?:chilled |evaporator )?water\b/g, '$1'],
  [/\b(?:ambient|outdoor|outside)(?: air)? temperature\b/g, 'ambient temperature'],
  [/\bwater flow(?: rate)?\b|\bflow rate\b/g, 'flow'],
  [/\bfan speed\b/g, 'fan speed'],
];

export interface HeaderMeaning {
  column: Column;
  kind: Kind;
  /** The header says that the atmosphere is to be added. */
  gauge: boolean;
  toSI: Convert;
}

/** Lower case with underscores: the form in which headers are compared. */
export const tidyHeader = (header: string): string =>
  header
    .trim()
    .toLowerCase()
    .replace(/[\s-]+/g, '_')
    .replace(/[^a-z0-9_]/g, '');

/** Words of the trade written out: `suct press` as `suction pressure`; lower case, parted by blanks. */
export function writtenOut(text: string): string {
  let plain = text.replace(/[\s_\-.,:]+/g, ' ').trim();
  for (const [word, instead] of words) plain = plain.replace(word, instead);
  return plain.trim().replace(/ +/g, ' ');
}

/** Splits "Suction Pressure [bar(g)]" or "suction_pressure_barg" into words and unit, lower case. */
function parted(header: string): { name: string; unit: string } {
  const text = header
    .normalize('NFKC')
    .trim()
    .toLowerCase()
    .replace(/(?:°|deg\.? )\s*(?=[cfk]\b)/g, '')
    // "kPa (g)" is one unit.
    .replace(/(pa|bar|psi) \((g|a|abs|gauge)\)$/, '$1$2');
  const bracket = /^(.*?)\s*(?:\[(.*)\]|\((.*)\)|\{(.*)\})\s*$/.exec(text);
  const last = bracket ? null : /^(.*?)[\s_,;:/]+(%|% ?open|[a-z]+\([ga]\))$/.exec(text);
  const [, name, ...unit] = bracket ?? last ?? [undefined, text];
  return { name: writtenOut(name).replaceAll(' ', '_'), unit: unit.find((one) => one !== undefined) ?? '' };
}

/**
 * What a header of a logger means: a telemetry name with its unit, `suction_pressure_barg` or "Suction Press. [bar(g)]".
 * A sentence where it cannot be told, never a guess.
 */
export function readHeader(header: string): HeaderMeaning | string {
  const { name, unit: inBrackets } = parted(header);
  for (const [known, { column, kind }] of Object.entries(names)) {
    if (name !== known && !name.startsWith(`${known}_`)) continue;
    const rest = name.slice(known.length).replace(/^_/, '');
    if (/^\d/.test(rest)) continue;
    const written = inBrackets === '' ? rest : inBrackets;
    if (inBrackets !== '' && rest !== '') continue;
    if (written === '') return 'its name does not say the unit';
    const unit = unitOf(written, kind);
    return unit === undefined
      ? `unit "${written}" is not known for a ${kind.replace('-', ' ')}`
      : { column, kind, ...unit };
  }
  return 'its name is not one of the telemetry names';
}

function unitOf(written: string, kind: Kind): { gauge: boolean; toSI: Convert } | undefined {
  const unit = written
    .replace(/\s+/g, '')
    .replace(/\^/g, '')
    .replace(/^([lm]3?|kgf?)_(?=s|h|hr|min|cm2)/, '$1/');
  const table = writtenUnits[kind];
  if (kind === 'pressure') {
    const found = pressureUnit(unit);
    return found && Object.hasOwn(table, found.unit)
      ? { gauge: found.gauge, toSI: table[found.unit] }
      : undefined;
  }
  return Object.hasOwn(table, unit) ? { gauge: false, toSI: table[unit] } : undefined;
}
