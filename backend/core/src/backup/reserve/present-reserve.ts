import { quantity, statement, type Statement } from '../../diagnosis/index.js';
import type { CircuitEntry, ModuleEntry } from '../../telemetry/index.js';
import { closingDemand } from '../closing/index.js';
import { referenceTemperature_K, type NormalisedTests, type Trend } from '../ageing/index.js';
import { reserveOf, type TestReserves } from './reserve.js';
import { mean, median } from '../../numerics/index.js';

/** Reserve in one situation. */
export interface ReserveCase {
  situation: 'fully-open-coldest' | 'fully-open-now' | 'present-opening';
  reserve: number;
  interval: { p10: number; p90: number };
  usableEnergy_J: number;
  closingEnergy_J: number;
  temperature_K: number;
  opening_pct: number;
  voltage_V: number;
  capacitance_F: number;
  esr_Ohm: number;
}

export type ReserveNow =
  | {
      state: 'known';
      /** Worst case first; the first is the closing reserve that screens show. */
      cases: ReserveCase[];
      /** How many tests it is based on, and when the last of them was. */
      closings: number;
      lastClosing_s: number;
      /** Whether ESR was measured, or is the rated value because no test was sampled finely enough. */
      esrFrom: 'measured' | 'rated';
      basedOn: Statement[];
    }
  | { state: 'unknown'; reason: Statement };

const normalP90 = 1.2816;
/** Recent tests whose median is the present capacitance where there is no trend. */
const recentTests = 7;

export interface PresentState {
  now: ReserveNow;
  /** At 298.15 K. */
  capacitance_F: number;
  capacitanceUncertainty_F: number;
  esr_Ohm: number;
  /** `null` where the rated value is used. */
  esrUncertainty_Ohm: number | null;
}

/** Standard uncertainty of one case as P10 and P90 give it. */
export const caseUncertainty = ({ interval }: ReserveCase): number =>
  (interval.p90 - interval.p10) / (2 * normalP90);

export interface PresentReserveInput {
  module: ModuleEntry;
  circuits: CircuitEntry[];
  tests: NormalisedTests;
  /** First test after the last step. */
  since: number;
  trend: Trend | null;
  drivePower_W: number;
  voltage_V: number;
  coldest_K: number;
  now_K: number;
  presentOpening_pct: number | null;
  /** Of all tests at the coldest temperature. */
  cold: TestReserves;
}

/** Reserve now in each situation, worst first, with what it is based on. */
export function presentReserve(input: PresentReserveInput): PresentState {
  const { tests, coldest_K, now_K, presentOpening_pct } = input;
  const n = tests.tests.length;
  const capacitance = presentCapacitance(input);
  const esrUncertaintyAt = esrUncertainties(input);
  const at = (temperature_K: number, opening_pct: number, situation: ReserveCase['situation']) =>
    reserveCase(input, capacitance, esrUncertaintyAt(temperature_K), {
      temperature_K,
      opening_pct,
      situation,
    });
  const cases = [at(coldest_K, 100, 'fully-open-coldest'), at(now_K, 100, 'fully-open-now')];
  if (presentOpening_pct !== null) cases.push(at(now_K, presentOpening_pct, 'present-opening'));
  cases.sort((a, b) => a.reserve - b.reserve);

  const reference = at(referenceTemperature_K, 100, 'fully-open-now');
  return {
    now: {
      state: 'known',
      cases,
      closings: n,
      lastClosing_s: tests.time_s[n - 1]!,
      esrFrom: tests.esrLaw ? 'measured' : 'rated',
      basedOn: basisOf(input),
    },
    capacitance_F: reference.capacitance_F,
    capacitanceUncertainty_F: capacitance.uncertainty * reference.capacitance_F,
    esr_Ohm: reference.esr_Ohm,
    esrUncertainty_Ohm: tests.esrLaw ? esrUncertaintyAt(referenceTemperature_K) * reference.esr_Ohm : null,
  };
}

/** Capacitance now at the coldest temperature, with its relative standard uncertainty, and how it goes with temperature. */
interface PresentCapacitance {
  cold_F: number;
  uncertainty: number;
  /** Of ln C. */
  perK: number;
}

/** By the trend; by the median of the last tests where there is none. */
function presentCapacitance({
  tests,
  since,
  trend,
  cold,
  coldest_K,
}: PresentReserveInput): PresentCapacitance {
  const n = tests.tests.length;
  const from = Math.max(since, n - recentTests);
  const count = n - from;
  const scatter = n >= 5 ? tests.scatter : Math.max(tests.scatter, 0.02);
  const warmer_K = mean(tests.temperature_K.subarray(from)) - coldest_K;
  const ofRecent = Math.hypot(
    (scatter * (count > 2 ? 1.25 : 1)) / Math.sqrt(count),
    tests.capacitanceLaw.uncertainty * warmer_K,
  );
  if (!trend)
    return {
      cold_F: median(cold.capacitance_F.subarray(from)),
      uncertainty: ofRecent,
      perK: tests.capacitanceLaw.perK,
    };
  return {
    cold_F: trend.level_F,
    uncertainty: Math.max(trend.levelSpread_F / trend.level_F, 0.3 * ofRecent),
    perK: trend.perK,
  };
}

/** Relative standard uncertainty of ESR at a temperature; 0 for the rated ESR, whose uncertainty is in the interval instead. */
function esrUncertainties({ tests, since }: PresentReserveInput): (temperature_K: number) => number {
  const { esrLaw, esrTests } = tests;
  if (!esrLaw) return () => 0;
  const n = tests.tests.length;
  // Most of a test's own uncertainty is where its drive began, which is off in the same way in all of them: averaging
  // does not reduce it. The end of a fitted curve is about twice as uncertain as its middle.
  const own = tests.tests
    .slice(Math.max(since, n - recentTests))
    .flatMap(({ esr_Ohm, esrUncertainty_Ohm }) =>
      esr_Ohm !== null && esrUncertainty_Ohm !== null ? [esrUncertainty_Ohm / esr_Ohm] : [],
    );
  const ofTests = own.length > 0 ? median(own) : 0;
  const ofCurve = (2 * esrLaw.residualSpread) / Math.sqrt(Math.max(1, esrTests));
  return (temperature_K) =>
    Math.hypot(ofTests, ofCurve, esrLaw.uncertainty * Math.abs(temperature_K - tests.temperature_K[n - 1]!));
}

function reserveCase(
  { module, circuits, tests, cold, coldest_K, voltage_V, drivePower_W }: PresentReserveInput,
  capacitance: PresentCapacitance,
  esrUncertainty: number,
  at: Pick<ReserveCase, 'temperature_K' | 'opening_pct' | 'situation'>,
): ReserveCase {
  const warmer_K = at.temperature_K - coldest_K;
  const capacitance_F = capacitance.cold_F * Math.exp(capacitance.perK * warmer_K);
  const esr_Ohm = cold.esr_Ohm.at(-1)! * Math.exp(tests.law.esrPerK * warmer_K);
  const demand = closingDemand(module, circuits, at.opening_pct, drivePower_W);
  const withEsr = (ohm: number) => reserveOf(module, demand, capacitance_F, ohm, voltage_V);
  const { reserve, usable_J } = withEsr(esr_Ohm);
  // A rated ESR may have doubled by the end of life.
  const worst = tests.esrLaw ? reserve : withEsr(2 * esr_Ohm).reserve;
  const byEsr = reserve - withEsr(esr_Ohm * (1 + esrUncertainty)).reserve;
  // Stored energy is proportional to capacitance.
  const spread = Math.hypot(capacitance.uncertainty * reserve, byEsr);
  return {
    situation: at.situation,
    reserve,
    interval: { p10: Math.max(0, worst - normalP90 * spread), p90: reserve + normalP90 * spread },
    usableEnergy_J: usable_J,
    closingEnergy_J: demand.energy_J,
    temperature_K: at.temperature_K,
    opening_pct: at.opening_pct,
    voltage_V,
    capacitance_F,
    esr_Ohm,
  };
}

/** What the present reserve is based on, in sentences. */
function basisOf({ tests, voltage_V, drivePower_W, coldest_K }: PresentReserveInput): Statement[] {
  const n = tests.tests.length;
  const sentences: Statement[] = [
    statement('Based on {tests} tests, the last at {last}.', {
      tests: quantity('count', n),
      last: quantity('instant', tests.time_s[n - 1]!),
    }),
    statement(
      'Charged to {voltage}; drive power {power} per motor; lowest module temperature seen {coldest}.',
      {
        voltage: quantity('voltage', voltage_V),
        power: quantity('power', drivePower_W),
        coldest: quantity('temperature', coldest_K),
      },
    ),
  ];
  if (tests.law.from === 'prior')
    sentences.push(
      statement(
        'The tests span only {span}, too little to learn how this module changes with temperature; a typical change is assumed.',
        { span: quantity('temperature-difference', tests.law.span_K) },
      ),
    );
  if (!tests.esrLaw)
    sentences.push(
      statement(
        'No test was sampled finely enough to measure ESR; the rated value is used, and twice that for the lower bound.',
      ),
    );
  return sentences;
}
