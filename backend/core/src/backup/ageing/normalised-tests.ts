import type { ClosingJudgement } from '../closing/index.js';
import { capacitanceOfTests, esrOfTests, lawAndSteps, type Step } from './steps/index.js';
import { filled, median } from '../../numerics/index.js';
import {
  describeLaw,
  type LawFit,
  type TemperatureLaw,
  ageingRates,
  referenceTemperature_K,
  weightedAge,
} from './temperature-law/index.js';

/** All comparable tests, at one current, and what they have in common. */
export interface NormalisedTests {
  tests: ClosingJudgement[];
  time_s: Float64Array;
  /** Where a test was sent without one, that of the test before. */
  temperature_K: Float64Array;
  temperaturesKnown: number;
  weightedAge_s: Float64Array;
  lnCapacitance: Float64Array;
  capacitanceLaw: LawFit;
  /** ln ESR of each test along the fitted curve, `null` where ESR was hardly ever measured. */
  esrLaw: LawFit | null;
  esrTests: number;
  /** First test from which on nearly all gave an ESR. */
  esrFrom: number;
  capacitanceSteps: Step[];
  /** Indices are of `tests`, not of the tests with an ESR. */
  esrSteps: Step[];
  scatter: number;
  law: TemperatureLaw;
}

/** Tests whose mean current differs by more than this fraction from the usual one are not comparable. */
const currentTolerance = 0.25;
/** A capacitance with a relative uncertainty above this is not used for ageing. */
const worstUncertainty = 0.1;
const fewestEsrTests = 3;
const nearlyAll = 0.9;

/** Tests with a capacitance at the module's usual current and with a small enough uncertainty. */
export function comparableTests(closings: readonly ClosingJudgement[]): ClosingJudgement[] {
  const usable: ClosingJudgement[] = [];
  const currents: number[] = [];
  for (const closing of closings) {
    const { capacitance_F, capacitanceUncertainty_F, current_A } = closing;
    if (capacitance_F === null || !(capacitance_F > 0)) continue;
    if ((capacitanceUncertainty_F ?? 0) > worstUncertainty * capacitance_F) continue;
    usable.push(closing);
    if (current_A !== null) currents.push(current_A);
  }
  if (currents.length < 3) return usable;
  const usual = median(currents);
  return usable.filter(
    (closing) => closing.current_A === null || Math.abs(closing.current_A / usual - 1) <= currentTolerance,
  );
}

/**
 * Tests brought to one temperature: the module's own law where it has been learned, the prior where not, with steps
 * found first so that they are not taken for temperature or age. `null` where no test can be compared.
 */
export function normaliseTests(
  closings: readonly ClosingJudgement[],
  lifeDoubling_K: number,
): NormalisedTests | null {
  const tests = comparableTests(closings);
  const n = tests.length;
  if (n === 0) return null;
  const time_s = filled(n, (i) => tests[i]!.startedAt_s);
  const { temperature_K, known, span_K } = filledTemperatures(tests);
  const age = weightedAge(time_s, ageingRates(temperature_K, lifeDoubling_K));
  const lnCapacitance = filled(n, (i) => Math.log(tests[i]!.capacitance_F!));

  const capacitance = lawAndSteps(capacitanceOfTests, lnCapacitance, temperature_K, time_s, age);
  const esr = normaliseEsr(tests, temperature_K, age);
  return {
    tests,
    time_s,
    temperature_K,
    temperaturesKnown: known,
    weightedAge_s: age,
    lnCapacitance,
    capacitanceLaw: capacitance.law,
    esrLaw: esr?.law ?? null,
    esrTests: esr?.count ?? 0,
    esrFrom: esr?.from ?? 0,
    capacitanceSteps: capacitance.steps,
    esrSteps: esr?.steps ?? [],
    scatter: capacitance.scatter,
    law: describeLaw(capacitance.law, esr?.law ?? null, span_K),
  };
}

/** Capacitance of a test, brought to the reference temperature by the module's law. */
export const capacitanceAtReference_F = ({ tests, temperature_K, law }: NormalisedTests, i: number): number =>
  tests[i]!.capacitance_F! * Math.exp(-law.capacitancePerK * (temperature_K[i]! - referenceTemperature_K));

/** The same of ESR; `null` where it was not measured, or too seldom to be representative. */
export function esrAtReference_Ohm(all: NormalisedTests, i: number): number | null {
  const measured_Ohm = all.tests[i]!.esr_Ohm;
  if (measured_Ohm === null || all.esrLaw === null || i < all.esrFrom) return null;
  return measured_Ohm * Math.exp(-all.law.esrPerK * (all.temperature_K[i]! - referenceTemperature_K));
}

function filledTemperatures(tests: readonly ClosingJudgement[]) {
  let last: number | null = tests.find((test) => test.temperature_K !== null)?.temperature_K ?? null;
  let known = 0;
  let low = Infinity;
  let high = -Infinity;
  const temperature_K = filled(tests.length, (i) => {
    const test = tests[i]!;
    if (test.temperature_K !== null) {
      known++;
      last = test.temperature_K;
      low = Math.min(low, last);
      high = Math.max(high, last);
    }
    return last ?? referenceTemperature_K;
  });
  return { temperature_K, known, span_K: known > 0 ? high - low : 0 };
}

function normaliseEsr(
  tests: readonly ClosingJudgement[],
  temperature_K: Float64Array,
  age: Float64Array,
): { law: LawFit; steps: Step[]; count: number; from: number } | null {
  const from = fromNearlyAll(tests);
  const rows: number[] = [];
  tests.forEach((test, i) => {
    if (i >= from && test.esr_Ohm !== null && test.esr_Ohm > 0) rows.push(i);
  });
  if (rows.length < fewestEsrTests) return null;
  const ln = filled(rows.length, (j) => Math.log(tests[rows[j]!]!.esr_Ohm!));
  const warm = filled(rows.length, (j) => temperature_K[rows[j]!]!);
  const old = filled(rows.length, (j) => age[rows[j]!]!);
  const at_s = filled(rows.length, (j) => tests[rows[j]!]!.startedAt_s);
  const { law: fitted, steps } = lawAndSteps(esrOfTests, ln, warm, at_s, old);
  const law: LawFit = {
    ...fitted,
    smooth: (at_K) => {
      const among = fitted.smooth(at_K);
      const out = new Float64Array(tests.length);
      let j = 0;
      for (let i = 0; i < out.length; i++) {
        while (j + 1 < rows.length && rows[j + 1]! <= i) j++;
        out[i] = among[j]!;
      }
      return out;
    },
  };
  return {
    law,
    steps: steps.map((step) => ({ ...step, index: rows[step.index]! })),
    count: rows.length,
    from: rows[0]!,
  };
}

/**
 * Where an ESR is given only when it is large enough to be told from the sampling, the few given are not those of the
 * module: the first test from which on nearly all have one. 0 where there is no such stretch.
 */
function fromNearlyAll(tests: readonly ClosingJudgement[]): number {
  let given = 0;
  let from = tests.length;
  for (let i = tests.length - 1; i >= 0; i--) {
    if (tests[i]!.esr_Ohm === null) continue;
    given++;
    if (given >= nearlyAll * (tests.length - i)) from = i;
  }
  return tests.length - from >= fewestEsrTests ? from : 0;
}
