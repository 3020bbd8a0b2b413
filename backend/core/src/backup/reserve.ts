import { quantity, statement, type Statement } from '../diagnosis/index.js';
import type { CircuitEntry, ModuleEntry } from '../telemetry/index.js';
import { closingDemand, type ClosingDemand } from './closing-energy.js';
import type { NormalisedTests } from './normalised-tests.js';
import { medianInPlace, median } from './robust.js';
import { backupRuntime } from './runtime.js';
import type { Trend } from './reserve-trend.js';
import type { ClosingJudgement, ReserveCase, ReserveNow, ReservePoint } from './types.js';

const normalP90 = 1.2816;
/** Recent tests whose median stands for now where there is no trend. */
const recentTests = 7;

/** Usable energy over the energy of one closing; 0 where the source cannot even start the motors. */
export function reserveOf(
  module: ModuleEntry,
  demand: ClosingDemand,
  capacitance_F: number,
  esr_Ohm: number,
  voltage_V: number,
): { reserve: number; usable_J: number } {
  const usable_J = backupRuntime(
    { capacitance_F, esr_Ohm, voltage_V, minimumVoltage_V: module.minimumVoltage_V },
    demand.peakPower_W,
  ).energy_J;
  return { reserve: usable_J / demand.energy_J, usable_J };
}

/**
 * Power of one motor by measurement, where closings have shown more than the registry says; the registry's value
 * otherwise, the worse of the two always standing.
 */
export function driveOnePower_W(
  module: ModuleEntry,
  circuits: readonly CircuitEntry[],
  closings: readonly ClosingJudgement[],
): number {
  const motors = circuits.reduce((sum, circuit) => sum + circuit.valve.motors, 0);
  const measured = closings
    .slice(-30)
    .flatMap((closing) => (closing.drivePower_W === null ? [] : [closing.drivePower_W]));
  if (measured.length < 5 || motors === 0) return module.drivePower_W;
  const perMotor = median(measured) / motors;
  return perMotor > 1.05 * module.drivePower_W ? perMotor : module.drivePower_W;
}

/** Reserve of every test as if at one temperature, one charged voltage and from fully open. */
export function reservesOfTests(
  tests: NormalisedTests,
  module: ModuleEntry,
  demand: ClosingDemand,
  voltage_V: number,
  at_K: number,
): { reserve: Float64Array; capacitance_F: Float64Array; esr_Ohm: Float64Array } {
  const n = tests.tests.length;
  const esr = tests.esrLaw?.smooth(at_K);
  const capacitance_F = new Float64Array(n);
  const esr_Ohm = new Float64Array(n);
  const reserve = new Float64Array(n);
  for (let i = 0; i < n; i++) {
    capacitance_F[i] = Math.exp(
      tests.lnCapacitance[i]! - tests.capacitanceLaw.perK * (tests.temperature_K[i]! - at_K),
    );
    esr_Ohm[i] = esr ? Math.exp(esr[i]!) : ratedEsrAt(module, tests, at_K);
    reserve[i] = reserveOf(module, demand, capacitance_F[i]!, esr_Ohm[i]!, voltage_V).reserve;
  }
  return { reserve, capacitance_F, esr_Ohm };
}

/** Rated ESR carried to a temperature by the law: what stands in where no test was sampled finely enough. */
function ratedEsrAt(module: ModuleEntry, tests: NormalisedTests, at_K: number): number {
  return module.ratedEsr_Ohm * Math.exp(tests.law.esrPerK * (at_K - 298.15));
}

/** Points of the reserve's history: the last 60 tests one by one, further back in medians of at most 60 groups. */
export function historyPoints(tests: NormalisedTests, reserve: Float64Array): ReservePoint[] {
  const n = reserve.length;
  const single = Math.max(0, n - 60);
  const perGroup = Math.max(1, Math.ceil(single / 60));
  const points: ReservePoint[] = [];
  for (let from = 0; from < n;) {
    const to = from < single ? Math.min(single, from + perGroup) : from + 1;
    const count = to - from;
    const middle = (from + to - 1) >> 1;
    const test = tests.tests[middle]!;
    const value = medianInPlace(Float64Array.from(reserve.subarray(from, to)));
    const own =
      test.capacitanceUncertainty_F === null ? null : test.capacitanceUncertainty_F / test.capacitance_F!;
    const relative = Math.max(own ?? 0, n >= 5 ? tests.scatter : 0);
    points.push({
      time_s: test.startedAt_s,
      reserve: value,
      uncertainty: relative > 0 ? (value * relative * (count > 2 ? 1.25 : 1)) / Math.sqrt(count) : null,
      tests: count,
      proof: tests.tests.slice(from, to).some((each) => each.proof),
    });
    from = to;
  }
  return points;
}

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
  cold: { reserve: Float64Array; capacitance_F: Float64Array; esr_Ohm: Float64Array };
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
    const capacitance_F = cold_F * Math.exp(tests.capacitanceLaw.perK * (temperature_K - coldest_K));
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
  const standsOn: Statement[] = [
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
    standsOn.push(
      statement(
        'The module has not yet shown its own behaviour over temperature ({span} seen): a common one is assumed.',
        { span: quantity('temperature-difference', tests.law.span_K) },
      ),
    );
  if (!tests.esrLaw)
    standsOn.push(
      statement(
        'No test was sampled finely enough for ESR: the rated value stands in, the lower bound assumes twice that.',
      ),
    );
  return {
    now: {
      state: 'known',
      cases,
      closings: n,
      lastClosing_s: tests.time_s[n - 1]!,
      esrFrom: tests.esrLaw ? 'measured' : 'rated',
      standsOn,
    },
    capacitance_F: reference.capacitance_F,
    capacitanceUncertainty_F: relative * reference.capacitance_F,
    esr_Ohm: reference.esr_Ohm,
    esrUncertainty_Ohm: tests.esrLaw ? esrShareAt(298.15) * reference.esr_Ohm : null,
  };
}

/** ESR goes as C^-m while both age: m of this module, with one standard uncertainty. */
export interface EsrCourse {
  exponent: number;
  uncertainty: number;
}

/**
 * COMMON PRACTICE, no source: end of life is C -20 % or ESR +100 %, which together are m of about 3; cells differ
 * widely, so a broad prior around 2.5. What the module itself has shown narrows it.
 */
const esrCoursePrior: EsrCourse = { exponent: 2.5, uncertainty: 1.5 };

export function esrCourse(tests: NormalisedTests): EsrCourse {
  const prior = esrCoursePrior;
  if (!tests.esrLaw || tests.esrTests < 12) return prior;
  const n = tests.tests.length;
  const lnC = tests.capacitanceLaw.smooth(298.15);
  const lnR = tests.esrLaw.smooth(298.15);
  const from = tests.esrFrom;
  let dC = lnC[n - 1]! - lnC[from]!;
  let dR = lnR[n - 1]! - lnR[from]!;
  // Sudden changes are no part of the course.
  for (const step of tests.capacitanceSteps) if (step.index > from) dC -= step.size;
  for (const step of tests.esrSteps) dR -= step.size;
  if (!(dC < -0.02)) return prior;
  const ends = Math.sqrt(18 / tests.esrTests);
  const seen = -dR / dC;
  const error = Math.hypot(
    (tests.esrLaw.residualSpread * ends) / dC,
    (seen * tests.capacitanceLaw.residualSpread * ends) / dC,
  );
  const a = 1 / prior.uncertainty ** 2;
  const b = 1 / Math.max(1e-6, error * error);
  return { exponent: (a * prior.exponent + b * seen) / (a + b), uncertainty: 1 / Math.sqrt(a + b) };
}

/**
 * How ESR may go on from where it is while capacitance falls: as a power of it, or in step with what is lost. Both
 * begin with the same slope; far on, the power outruns the step.
 */
export type EsrPath = 'power' | 'in-step';

/** Capacitance at which the reserve is down to `limit`, ESR rising along its course from where it is now. */
export function capacitanceAtReserve(
  module: ModuleEntry,
  demand: ClosingDemand,
  voltage_V: number,
  now: { capacitance_F: number; esr_Ohm: number },
  exponent: number,
  path: EsrPath,
  limit: number,
): number {
  let low = 0.01 * now.capacitance_F;
  let high = 4 * now.capacitance_F;
  // 17 halvings of a span of 400 to 1 leave 0.005 %.
  for (let i = 0; i < 17; i++) {
    const middle = Math.sqrt(low * high);
    const share = middle / now.capacitance_F;
    const rise = path === 'power' ? share ** -exponent : 1 + exponent * (1 - share);
    const esr_Ohm = now.esr_Ohm * Math.max(0.2, rise);
    if (reserveOf(module, demand, middle, esr_Ohm, voltage_V).reserve < limit) low = middle;
    else high = middle;
  }
  return high;
}
