import { quantity, statement, type Statement } from '../../diagnosis/index.js';
import type { CircuitEntry, ModuleEntry } from '../../telemetry/index.js';
import { closingDemand } from '../closing/index.js';
import type { NormalisedTests, Trend } from '../ageing/index.js';
import { reserveOf, type TestReserves } from './reserve.js';
import { median, medianInPlace } from '../../numerics/robust.js';

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
      /** How many tests it stands on, and when the last of them was. */
      closings: number;
      lastClosing_s: number;
      /** Whether ESR was measured or is the rated value taken for want of finely sampled tests. */
      esrFrom: 'measured' | 'rated';
      standsOn: Statement[];
    }
  | { state: 'unknown'; reason: Statement };

const normalP90 = 1.2816;
/** Recent tests whose median stands for now where there is no trend. */
const recentTests = 7;

export interface PresentState {
  now: ReserveNow;
  /** At 298.15 K. */
  capacitance_F: number;
  capacitanceUncertainty_F: number;
  esr_Ohm: number;
  /** `null` where the rated value stands in. */
  esrUncertainty_Ohm: number | null;
}

/** Standard uncertainty of one case as P10 and P90 give it. */
export const caseUncertainty = ({ interval }: ReserveCase): number =>
  (interval.p90 - interval.p10) / (2 * normalP90);

/** Reserve now in each situation, worst first, with what it stands on. */
export function presentReserve(input: {
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
}): PresentState {
  const { module, circuits, tests, since, trend, cold, coldest_K, voltage_V, drivePower_W } = input;
  const n = tests.tests.length;
  const from = Math.max(since, n - recentTests);
  const recentCold_F = medianInPlace(Float64Array.from(cold.capacitance_F.subarray(from)));
  const count = n - from;
  const scatter = n >= 5 ? tests.scatter : Math.max(tests.scatter, 0.02);
  const warmer =
    tests.temperature_K.subarray(from).reduce((sum, value) => sum + value - coldest_K, 0) / count;
  const plainShare = Math.hypot(
    (scatter * (count > 2 ? 1.25 : 1)) / Math.sqrt(count),
    tests.capacitanceLaw.uncertainty * warmer,
  );
  const cold_F = trend ? trend.level_F : recentCold_F;
  const perK = trend ? trend.perK : tests.capacitanceLaw.perK;
  const relative = trend ? Math.max(trend.levelSpread_F / trend.level_F, 0.3 * plainShare) : plainShare;
  const coldEsr = cold.esr_Ohm[n - 1]!;
  // Where its drive began is the larger part of a test's own uncertainty and the same in all of them: no mean lessens
  // it. The end of a fitted course is about twice as uncertain as its middle.
  const ownShares = tests.tests
    .slice(from)
    .flatMap(({ esr_Ohm, esrUncertainty_Ohm }) =>
      esr_Ohm !== null && esrUncertainty_Ohm !== null ? [esrUncertainty_Ohm / esr_Ohm] : [],
    );
  const ownShare = ownShares.length > 0 ? median(ownShares) : 0;
  const esrShareAt = (temperature_K: number): number =>
    tests.esrLaw
      ? Math.hypot(
          ownShare,
          (2 * tests.esrLaw.residualSpread) / Math.sqrt(Math.max(1, tests.esrTests)),
          tests.esrLaw.uncertainty * Math.abs(temperature_K - tests.temperature_K[n - 1]!),
        )
      : 0;
  // Energy goes with C exactly; an ESR that is only the rated one may be twice that by the end of life.
  const esrDoubt = tests.esrLaw ? 0 : 1;

  const at = (
    temperature_K: number,
    opening_pct: number,
    situation: ReserveCase['situation'],
  ): ReserveCase => {
    const capacitance_F = cold_F * Math.exp(perK * (temperature_K - coldest_K));
    const esr_Ohm = coldEsr * Math.exp(tests.law.esrPerK * (temperature_K - coldest_K));
    const demand = closingDemand(module, circuits, opening_pct, drivePower_W);
    const { reserve, usable_J } = reserveOf(module, demand, capacitance_F, esr_Ohm, voltage_V);
    const worse = esrDoubt
      ? reserveOf(module, demand, capacitance_F, 2 * esr_Ohm, voltage_V).reserve
      : reserve;
    const higherEsr_Ohm = esr_Ohm * (1 + esrShareAt(temperature_K));
    const byEsr = reserve - reserveOf(module, demand, capacitance_F, higherEsr_Ohm, voltage_V).reserve;
    const spread = Math.hypot(relative * reserve, byEsr);
    return {
      situation,
      reserve,
      interval: {
        p10: Math.max(0, worse - normalP90 * spread),
        p90: reserve + normalP90 * spread,
      },
      usableEnergy_J: usable_J,
      closingEnergy_J: demand.energy_J,
      temperature_K,
      opening_pct,
      voltage_V,
      capacitance_F,
      esr_Ohm,
    };
  };
  const cases = [at(coldest_K, 100, 'fully-open-coldest'), at(input.now_K, 100, 'fully-open-now')];
  if (input.presentOpening_pct !== null)
    cases.push(at(input.now_K, input.presentOpening_pct, 'present-opening'));
  cases.sort((a, b) => a.reserve - b.reserve);

  const reference = at(298.15, 100, 'fully-open-now');
  return {
    now: {
      state: 'known',
      cases,
      closings: n,
      lastClosing_s: tests.time_s[n - 1]!,
      esrFrom: tests.esrLaw ? 'measured' : 'rated',
      standsOn: standsOn(tests, input),
    },
    capacitance_F: reference.capacitance_F,
    capacitanceUncertainty_F: relative * reference.capacitance_F,
    esr_Ohm: reference.esr_Ohm,
    esrUncertainty_Ohm: tests.esrLaw ? esrShareAt(298.15) * reference.esr_Ohm : null,
  };
}

/** What the reserve now stands on, in sentences. */
function standsOn(
  tests: NormalisedTests,
  { voltage_V, drivePower_W, coldest_K }: { voltage_V: number; drivePower_W: number; coldest_K: number },
): Statement[] {
  const n = tests.tests.length;
  const said: Statement[] = [
    statement('It stands on {tests} tests, the last at {last}.', {
      tests: quantity('count', n),
      last: quantity('instant', tests.time_s[n - 1]!),
    }),
    statement(
      'Charged voltage {voltage}, drive power {power} for each motor, coldest module temperature {coldest}.',
      {
        voltage: quantity('voltage', voltage_V),
        power: quantity('power', drivePower_W),
        coldest: quantity('temperature', coldest_K),
      },
    ),
  ];
  if (tests.law.from === 'prior')
    said.push(
      statement(
        'The module has not yet shown its own behaviour over temperature ({span} seen): a common one is assumed.',
        { span: quantity('temperature-difference', tests.law.span_K) },
      ),
    );
  if (!tests.esrLaw)
    said.push(
      statement(
        'No test was sampled finely enough for ESR: the rated value stands in, the lower bound assumes twice that.',
      ),
    );
  return said;
}
