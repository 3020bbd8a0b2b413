import { fitLinear, standardError } from '../../numerics/index.js';
import {
  isentropicDischarge,
  refrigerantNames,
  saturationCurve,
  vapourEnthalpy,
} from '../../refrigerants/index.js';
import type { CircuitSeries } from '../../telemetry/circuit-series.js';
import { OutOfRangeError } from '../../units/index.js';
import { medianOf } from './running-state.js';
import type { SettledStandstill } from '../standstill/standstill.js';

/** Medians over settled running. NaN where not measured. */
export interface RunningMedians {
  hours: number;
  suctionPressure_Pa: number;
  dischargePressure_Pa: number;
  suctionTemperature_K: number;
  dischargeTemperature_K: number;
  liquidTemperature_K: number;
  superheatSetpoint_K: number;
  leavingWaterTemperature_K: number;
  ambientTemperature_K: number;
  valveOpening_pct: number;
}

/** Null under half an hour of settled running. */
export function runningMedians(series: CircuitSeries, running: readonly number[]): RunningMedians | null {
  const spacing_s = medianOf(running.slice(1).map((at, k) => series.time_s[at] - series.time_s[running[k]]));
  const hours = (running.length * spacing_s) / 3600;
  if (!(hours >= 0.5)) return null;
  const median = (values: Float64Array) =>
    medianOf(
      running.map((at) => values[at]),
      10,
    );
  return {
    hours,
    suctionPressure_Pa: median(series.suctionPressure_Pa),
    dischargePressure_Pa: median(series.dischargePressure_Pa),
    suctionTemperature_K: median(series.suctionTemperature_K),
    dischargeTemperature_K: median(series.dischargeTemperature_K),
    liquidTemperature_K: median(series.liquidTemperature_K),
    superheatSetpoint_K: median(series.superheatSetpoint_K),
    leavingWaterTemperature_K: median(series.leavingWaterTemperature_K),
    ambientTemperature_K: median(series.ambientTemperature_K),
    valveOpening_pct: median(series.valveOpening_pct),
  };
}

/** Fraction of running samples whose suction pressure reads at least a tenth above the discharge pressure; null without enough. */
export const swappedFraction = (series: CircuitSeries, running: readonly number[]): number | null =>
  fractionReversed(series, running, { ratio: 1.1, least: 60 });

/**
 * Fraction of running samples whose suction pressure is more than `ratio` times the discharge pressure; null where both are
 * known in fewer than `least` of them.
 */
export function fractionReversed(
  series: CircuitSeries,
  running: readonly number[],
  { ratio, least }: { ratio: number; least: number },
): number | null {
  let both = 0;
  let reversed = 0;
  for (const at of running) {
    const seen = series.suctionPressure_Pa[at] / series.dischargePressure_Pa[at];
    if (!Number.isFinite(seen)) continue;
    both++;
    if (seen > ratio) reversed++;
  }
  return both < least ? null : reversed / both;
}

export interface RefrigerantFit {
  refrigerant: string;
  /** Distance of the standing pressures' saturation temperatures from what the thermometers agree on, K. */
  standing_K: number;
  /** Superheat and subcooling while running, K; NaN where not measured. */
  superheat_K: number;
  subcooling_K: number;
  /** Whether the running values are possible with this refrigerant. */
  possible: boolean;
  score: number;
}

/**
 * How well each known refrigerant explains both the pressures at standstill and the values while running, best first.
 * Running is possible where vapour leaves the evaporator dry but not absurdly hot (-1 to 25 K), evaporates below the
 * water that leaves, and liquid leaves the condenser subcooled (-1 to 25 K); with a setpoint known, superheat near it
 * counts in favour.
 */
export function refrigerantFits(
  seen: SettledStandstill,
  agreed_K: number,
  running: RunningMedians,
): RefrigerantFit[] {
  return refrigerantNames()
    .map((refrigerant) => fit(refrigerant, seen, agreed_K, running))
    .filter((one) => Number.isFinite(one.score))
    .sort((a, b) => a.score - b.score);
}

function fit(
  refrigerant: string,
  seen: SettledStandstill,
  agreed_K: number,
  running: RunningMedians,
): RefrigerantFit {
  const dew = saturationCurve(refrigerant, 'dew').temperature;
  const bubble = saturationCurve(refrigerant, 'bubble').temperature;
  const distance = (pressure_Pa: number) =>
    Math.max(0, bubble(pressure_Pa) - agreed_K, agreed_K - dew(pressure_Pa));
  const standing_K = Math.max(distance(seen.suctionPressure_Pa), distance(seen.dischargePressure_Pa));
  const evaporating_K = dew(running.suctionPressure_Pa);
  const superheat_K = running.suctionTemperature_K - evaporating_K;
  const subcooling_K = bubble(running.dischargePressure_Pa) - running.liquidTemperature_K;
  const within = (value: number, low: number, high: number) =>
    Number.isNaN(value) || (value >= low && value <= high);
  const approach_K = running.leavingWaterTemperature_K - evaporating_K;
  const possible =
    Number.isFinite(superheat_K) &&
    within(superheat_K, -1, 25) &&
    within(subcooling_K, -1, 25) &&
    within(approach_K, -0.5, 20);
  const off_K = Math.abs(superheat_K - running.superheatSetpoint_K);
  return {
    refrigerant,
    standing_K,
    superheat_K,
    subcooling_K,
    possible,
    score: standing_K + (Number.isFinite(off_K) ? Math.min(off_K, 5) : 2),
  };
}

export interface LooseEvidence {
  /** What the compressor's efficiency would be if the suction reading were true; null where that was not the evidence. */
  impliedEfficiency: number | null;
  /** Fraction by which the sensor follows the ambient instead of the pipe, 0..1. */
  ambientFraction: number;
  superheat_K: number;
  expected_K: number;
  ambient_K: number;
  valveOpening_pct: number;
  /** Whether the reading rises and falls with the ambient at the same pressure; null where the ambient hardly moved. */
  follows: boolean | null;
}

/** What it takes to see whether a reading follows the ambient. Judgement, no source. */
const following = { bin_s: 1800, samplesPerBin: 6, fewestBins: 8, ambientRange_K: 3, leastOfFraction: 0.5 };

/**
 * Excess over the setpoint in half hours, by least squares on the way from pipe to ambient: a sensor off its pipe has its
 * fraction of that way as slope; one that sits elsewhere, behind a heat exchanger in the suction line or at the
 * compressor, reads higher by as much in a cool night as on a hot day.
 */
function followsAmbient(series: CircuitSeries, seen: readonly Excess[], fraction: number): boolean | null {
  const bins = new Map<number, Excess[]>();
  for (const one of seen) {
    const key = Math.floor(series.time_s[one.at] / following.bin_s);
    const bin = bins.get(key);
    if (bin) bin.push(one);
    else bins.set(key, [one]);
  }
  const used = [...bins.values()].filter((bin) => bin.length >= following.samplesPerBin);
  if (used.length < following.fewestBins) return null;
  const medians = (value: (one: Excess) => number) =>
    Float64Array.from(used, (bin) => medianOf(bin.map(value)));
  const ambient_K = medians(({ at }) => series.ambientTemperature_K[at]);
  if (Math.max(...ambient_K) - Math.min(...ambient_K) < following.ambientRange_K) return null;
  const reach_K = medians((one) => one.reach_K);
  const middle_K = medianOf(reach_K);
  const fit = fitLinear(
    [Float64Array.from(used, () => 1), reach_K.map((value) => value - middle_K)],
    medians((one) => one.excess_K),
  );
  if (!fit) return null;
  const slope = fit.coefficients[1];
  return slope >= following.leastOfFraction * fraction && slope > 2 * standardError(fit, 1);
}

/** Of one sample: superheat over its setpoint, and the way from the pipe to the ambient. */
interface Excess {
  at: number;
  excess_K: number;
  reach_K: number;
}

/**
 * Whether the suction sensor reads part of the ambient. A valve that holds superheat puts the pipe at dew temperature
 * plus setpoint; a sensor off its pipe reads in between that and ambient: (T_s - T_pipe) / (T_ambient - T_pipe). Told
 * from true high superheat by the valve, which would then stand at its end, from a bias by standstill, where pipe
 * and ambient are alike and the sensor reads right, and from a sensor that sits elsewhere by the ambient, which that one
 * does not follow.
 */
export function looseSuctionSensor(
  refrigerant: string,
  series: CircuitSeries,
  running: readonly number[],
): LooseEvidence | null {
  const dew = saturationCurve(refrigerant, 'dew').temperature;
  const fractions: number[] = [];
  const superheats: number[] = [];
  const setpoints: number[] = [];
  const ambients: number[] = [];
  const openings: number[] = [];
  const seen: Excess[] = [];
  for (const at of running) {
    const superheat_K = series.suctionTemperature_K[at] - dew(series.suctionPressure_Pa[at]);
    const setpoint_K = series.superheatSetpoint_K[at];
    const excess_K = superheat_K - setpoint_K;
    const reach_K = series.ambientTemperature_K[at] - series.suctionTemperature_K[at] + excess_K;
    if (!Number.isFinite(excess_K + reach_K) || Math.abs(reach_K) < 4) continue;
    seen.push({ at, excess_K, reach_K });
    fractions.push(excess_K / reach_K);
    superheats.push(superheat_K);
    setpoints.push(setpoint_K);
    ambients.push(series.ambientTemperature_K[at]);
    openings.push(series.valveOpening_pct[at]);
  }
  if (fractions.length < 180) return null;
  const result = {
    impliedEfficiency: null,
    ambientFraction: medianOf(fractions),
    superheat_K: medianOf(superheats),
    expected_K: medianOf(setpoints),
    ambient_K: medianOf(ambients),
    valveOpening_pct: medianOf(openings),
    follows: followsAmbient(series, seen, medianOf(fractions)),
  };
  const telling =
    result.follows !== false &&
    result.ambientFraction >= 0.25 &&
    result.ambientFraction <= 1.2 &&
    Math.abs(result.superheat_K - result.expected_K) >= 2.5 &&
    !(result.valveOpening_pct > 92 || result.valveOpening_pct < 8);
  return telling ? result : null;
}

/**
 * A loose suction sensor that the controller itself works with: the valve opens wide to bring the reading down, and the
 * evaporator floods. Then vapour arrives at dew temperature, the reading is dew plus a fraction of the way to ambient, the
 * water leaves close to the dew temperature, and the discharge is colder than a compressor could make from the superheat
 * shown: isentropic over actual enthalpy rise near or above one.
 */
export function floodedBehindLooseSensor(refrigerant: string, running: RunningMedians): LooseEvidence | null {
  const dew_K = saturationCurve(refrigerant, 'dew').temperature(running.suctionPressure_Pa);
  const superheat_K = running.suctionTemperature_K - dew_K;
  const reach_K = running.ambientTemperature_K - dew_K;
  const approach_K = running.leavingWaterTemperature_K - dew_K;
  if (!(superheat_K >= 3 && reach_K >= 6 && running.valveOpening_pct >= 85) || approach_K > 3) return null;
  const ambientFraction = superheat_K / reach_K;
  if (!(ambientFraction >= 0.2 && ambientFraction <= 0.95)) return null;
  const impliedEfficiency = efficiencyOf(refrigerant, running);
  if (!(impliedEfficiency !== null && impliedEfficiency > 0.88)) return null;
  return {
    impliedEfficiency,
    ambientFraction,
    superheat_K,
    expected_K: Number.isFinite(running.superheatSetpoint_K) ? running.superheatSetpoint_K : superheat_K,
    ambient_K: running.ambientTemperature_K,
    valveOpening_pct: running.valveOpening_pct,
    follows: null,
  };
}

/**
 * A suction sensor that reads the ambient through starts and stops: nothing of the pipe reaches it, so that superheat as
 * read tells nothing. Null without a setpoint to compare with.
 */
export function sensorInTheAir(refrigerant: string, running: RunningMedians): LooseEvidence | null {
  const dew_K = saturationCurve(refrigerant, 'dew').temperature(running.suctionPressure_Pa);
  const superheat_K = running.suctionTemperature_K - dew_K;
  if (!Number.isFinite(superheat_K + running.superheatSetpoint_K)) return null;
  if (Math.abs(superheat_K - running.superheatSetpoint_K) < 2.5) return null;
  return {
    impliedEfficiency: null,
    ambientFraction: 1,
    superheat_K,
    expected_K: running.superheatSetpoint_K,
    ambient_K: running.ambientTemperature_K,
    valveOpening_pct: running.valveOpening_pct,
    follows: true,
  };
}

/** Isentropic over actual enthalpy rise between the readings; null where they are no vapour or not known. Infinite for no rise. */
function efficiencyOf(refrigerant: string, running: RunningMedians): number | null {
  const { suctionPressure_Pa, suctionTemperature_K, dischargePressure_Pa, dischargeTemperature_K } = running;
  try {
    const lossless = isentropicDischarge(
      refrigerant,
      suctionPressure_Pa,
      suctionTemperature_K,
      dischargePressure_Pa,
    );
    const rise =
      vapourEnthalpy(refrigerant, dischargePressure_Pa, dischargeTemperature_K) -
      vapourEnthalpy(refrigerant, suctionPressure_Pa, suctionTemperature_K);
    return rise > 0 ? lossless.enthalpyRise_J_kg / rise : Infinity;
  } catch (error) {
    if (error instanceof OutOfRangeError) return null;
    throw error;
  }
}
