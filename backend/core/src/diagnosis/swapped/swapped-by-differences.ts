import { runningSamples } from '../../modes/running.js';
import { mean } from '../../numerics/index.js';
import { saturationCurve } from '../../refrigerants/index.js';
import type { CircuitSeries } from '../../telemetry/circuit-series.js';
import type { Finding } from '../finding.js';
import { quantity, statement, type Statement } from '../statement.js';
import { swappedFinding } from '../swapped-finding.js';

/** Differences are looked at in means of ten minutes, so that a bulb's lag does not tell. */
const slot_s = 600;
/** Both circuits have run for so long, s. */
const settled_s = 900;
/** Slow faults of one circuit move differences over days: each is taken from its mean over so long, s. */
const block_s = 6 * 3600;
const fewestInBlock = 6;
const fewestSlots = 72;
/** Circuits that do the same tell nothing, and instruments differ a little along their range: differences vary by so much at least, standard deviation, K. Judgement, no source. */
const leastVaried_K = 0.5;
/** Correlation from which on a direction is sure. Judgement, no source. */
const clear = 0.7;

/** Differences between two circuits, first less second, each from its mean of six hours. K, and % of load. */
export interface Differences {
  /** Time that they come from, s. */
  time_s: number;
  from_s: number;
  to_s: number;
  liquid_K: number[];
  condensing_K: number[];
  discharge_K: number[];
  suction_K: number[];
  evaporating_K: number[];
  load_pct: number[];
}

type Column = Exclude<keyof Differences, 'time_s' | 'from_s' | 'to_s'>;
const columns: readonly Column[] = [
  'liquid_K',
  'condensing_K',
  'discharge_K',
  'suction_K',
  'evaporating_K',
  'load_pct',
];

interface Swap {
  sensor: string;
  because: Statement;
}

/**
 * Sensors of one kind that are swapped between two circuits which run together, by how the circuits differ from each other:
 * what both share (water, weather, common load) cancels, and where a difference goes against physics the sensor belongs to the
 * other one.
 *
 * - The circuit that condenses warmer has the warmer liquid and the hotter discharge. Of these three, the one whose
 *   difference goes against both others, which go together, is swapped.
 * - The circuit of higher superheat discharges hotter by about as much or up to some times more, as its compressor then also
 *   draws at a lower pressure. Where discharge superheat follows superheat so only with the suction pressures exchanged, these
 *   are swapped: the controllers hold what they are shown, and the true superheat is left to itself.
 *
 * Circuits that do the same, as two of one make at one load, tell nothing: nothing is said, and nothing is wrong by it.
 * @param series two-minute means of the newest days, both on the same times
 * @throws UnknownRefrigerantError.
 */
export function swappedByDifferences(
  circuits: readonly { circuit: number; series: CircuitSeries }[],
  refrigerant: string,
): Finding[] {
  const findings: Finding[] = [];
  for (let a = 0; a < circuits.length; a++)
    for (let b = a + 1; b < circuits.length; b++) {
      const differences = differencesOf(circuits[a].series, circuits[b].series, refrigerant);
      const swap = differences && (bySuperheat(differences) ?? byTriad(differences));
      if (!swap) continue;
      const { from_s, to_s } = differences;
      const pair = [circuits[a].circuit, circuits[b].circuit];
      for (const [circuit, swappedWith] of [pair, [pair[1], pair[0]]])
        findings.push(
          swappedFinding({
            ...{ ...swap, circuit, swappedWith, seen: { from_s, to_s } },
            shows: 'only with the two exchanged does what differs between the circuits agree',
          }),
        );
    }
  return findings;
}

/** Of condensing, liquid and discharge temperature the one that goes against both others. */
export function byTriad(of: Differences): Swap | null {
  const { condensing_K, liquid_K, discharge_K } = of;
  if ([condensing_K, liquid_K, discharge_K].some((one) => !(deviation(one) >= leastVaried_K))) return null;
  const liquid = correlation(condensing_K, liquid_K);
  const discharge = correlation(condensing_K, discharge_K);
  const both = correlation(liquid_K, discharge_K);
  if (![liquid, discharge, both].every((r) => Math.abs(r) >= clear)) return null;
  const sensors = [
    { sensor: 'liquid-temperature', agree: discharge, against: Math.max(liquid, both) },
    { sensor: 'discharge-temperature', agree: liquid, against: Math.max(discharge, both) },
    { sensor: 'discharge-pressure', agree: both, against: Math.max(liquid, discharge) },
  ];
  const told = sensors.find(({ agree, against }) => agree > 0 && against < 0);
  if (told === undefined) return null;
  // A circuit that starves by turns discharges hot while it condenses low.
  if (told.sensor === 'discharge-temperature' && superheatHeats(of)) return null;
  return {
    sensor: told.sensor,
    because: statement(
      'Condensing, liquid and discharge temperature differ between the two circuits now one way and now the other. This one goes against both others, which go together: correlations {against} and {agree}, over {time} in which both ran.',
      {
        against: quantity('ratio', told.against),
        agree: quantity('ratio', told.agree),
        time: quantity('duration', of.time_s),
      },
    ),
  };
}

/** Whether discharge temperature goes with superheat, as wired or with the suction pressures exchanged. */
function superheatHeats({ suction_K, evaporating_K, discharge_K, load_pct }: Differences): boolean {
  const hot = withoutLoad(discharge_K, load_pct);
  return [1, -1].some((sign) => {
    const superheat_K = suction_K.map((value, k) => value + sign * evaporating_K[k]);
    return Math.abs(correlation(withoutLoad(superheat_K, load_pct), hot)) >= clear;
  });
}

/** Discharge superheat rises with superheat by so many times as much. Judgement, no source: by about 1 at the same pressures, and more as the suction pressure falls with it. */
const follows = { least: 0.6, most: 3 };
/** Correlation as wired over which superheat and discharge agree. Judgement, no source. */
const agrees = 0.3;

/** Whether discharge superheat follows superheat only with the suction pressures exchanged. */
export function bySuperheat(of: Differences): Swap | null {
  const { suction_K, evaporating_K, discharge_K, condensing_K, load_pct } = of;
  const freed = (values: readonly number[]) => withoutLoad(values, load_pct);
  const hot = freed(discharge_K.map((value, k) => value - condensing_K[k]));
  const wired = freed(suction_K.map((value, k) => value - evaporating_K[k]));
  const exchanged = freed(suction_K.map((value, k) => value + evaporating_K[k]));
  const varied = deviation(exchanged);
  if (!(varied >= leastVaried_K && deviation(freed(evaporating_K)) >= leastVaried_K / 2)) return null;
  const right = correlation(exchanged, hot);
  const slope = (right * deviation(hot)) / varied;
  const asWired = correlation(wired, hot);
  if (!(right >= clear && slope >= follows.least && slope <= follows.most && !(asWired > agrees)))
    return null;
  return {
    sensor: 'suction-pressure',
    because: statement(
      'The circuit with the higher superheat must discharge hotter: with the two exchanged it does (correlation {exchanged}), as wired it does not ({wired}), over {time} in which both ran.',
      {
        exchanged: quantity('ratio', right),
        wired: quantity('ratio', Number.isFinite(asWired) ? asWired : 0),
        time: quantity('duration', of.time_s),
      },
    ),
  };
}

/** What is left of a difference beside what goes with that of the loads. */
function withoutLoad(values: readonly number[], load_pct: readonly number[]): number[] {
  const squares = load_pct.reduce((sum, load) => sum + load * load, 0);
  if (!(squares > 0)) return [...values];
  const slope = values.reduce((sum, value, k) => sum + value * load_pct[k], 0) / squares;
  return values.map((value, k) => value - slope * load_pct[k]);
}

function differencesOf(first: CircuitSeries, second: CircuitSeries, refrigerant: string): Differences | null {
  const dew = saturationCurve(refrigerant, 'dew').temperature;
  const runs = [runningSamples(first, refrigerant), runningSamples(second, refrigerant)];
  const slots = new Map<number, Record<Column, number>[]>();
  let [since_s, j] = [NaN, 0];
  for (let i = 0; i < first.time_s.length; i++) {
    const now = first.time_s[i];
    while (j < second.time_s.length && second.time_s[j] < now) j++;
    if (second.time_s[j] !== now) continue;
    if (runs[0][i] !== 1 || runs[1][j] !== 1) since_s = NaN;
    else if (Number.isNaN(since_s)) since_s = now;
    if (!(now - since_s >= settled_s)) continue;
    const slot = Math.floor(now / slot_s);
    const rows = slots.get(slot) ?? [];
    rows.push({
      liquid_K: first.liquidTemperature_K[i] - second.liquidTemperature_K[j],
      condensing_K: dew(first.dischargePressure_Pa[i]) - dew(second.dischargePressure_Pa[j]),
      discharge_K: first.dischargeTemperature_K[i] - second.dischargeTemperature_K[j],
      suction_K: first.suctionTemperature_K[i] - second.suctionTemperature_K[j],
      evaporating_K: dew(first.suctionPressure_Pa[i]) - dew(second.suctionPressure_Pa[j]),
      load_pct: first.compressorLoad_pct[i] - second.compressorLoad_pct[j] || 0,
    });
    slots.set(slot, rows);
  }
  return withinBlocks(slots);
}

/** Means of slots, each from the mean of its block; null where too few are there. */
function withinBlocks(slots: ReadonlyMap<number, readonly Record<Column, number>[]>): Differences | null {
  const perBlock = block_s / slot_s;
  const blocks = new Map<number, number[]>();
  for (const slot of slots.keys()) {
    const block = Math.floor(slot / perBlock);
    blocks.set(block, [...(blocks.get(block) ?? []), slot]);
  }
  const kept = [...blocks.values()].filter(({ length }) => length >= fewestInBlock);
  const all = kept.flat();
  if (all.length < fewestSlots) return null;
  const of = (column: Column) =>
    kept.flatMap((block) => {
      const means = block.map((slot) => mean(slots.get(slot)!.map((row) => row[column])));
      const about = mean(means);
      return means.map((value) => value - about);
    });
  return {
    time_s: all.length * slot_s,
    from_s: Math.min(...all) * slot_s,
    to_s: (Math.max(...all) + 1) * slot_s,
    ...(Object.fromEntries(columns.map((column) => [column, of(column)])) as Record<Column, number[]>),
  };
}

/** Standard deviation about zero; NaN where a value is missing. */
const deviation = (values: readonly number[]): number =>
  Math.sqrt(values.reduce((sum, value) => sum + value * value, 0) / values.length);

function correlation(a: readonly number[], b: readonly number[]): number {
  const products = a.reduce((sum, value, k) => sum + value * b[k], 0) / a.length;
  return products / (deviation(a) * deviation(b));
}
