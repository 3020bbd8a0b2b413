import { median } from '../numerics/index.js';
import { installedAt_s } from '../telemetry/index.js';
import {
  adjustedForSteps,
  baselineOf,
  esrExponent,
  findSuddenChange,
  lastStepIndex,
  reserveTrend,
  type NormalisedTests,
  type Trend,
} from './ageing/index.js';
import type { AssessmentContext } from './assessment-context.js';
import { keptBaseline } from './earlier.js';
import type { AssessmentByTests } from './module-assessment.js';
import {
  capacitancesAtReserve,
  forecastFrom,
  historyPoints,
  presentReserve,
  reserveOf,
  reservesOfTests,
  type TestReserves,
} from './reserve/index.js';
import { assessLeakage, assessWeakCell } from './resting/index.js';

const day_s = 86400;
/** Tests whose median is the capacitance that ageing starts from. */
const recentTests = 7;

/** What the tests say of a module whose lowest temperature is known. */
export function assessTestedModule(
  context: AssessmentContext,
  tests: NormalisedTests,
  coldest_K: number,
): AssessmentByTests {
  const { input, settings, earlier, figures, decay, demand, voltage_V, drivePower_W } = context;
  const { module, circuits } = input;
  const n = tests.tests.length;
  const since = lastStepIndex(tests);
  const cold = reservesOfTests(tests, module, demand, voltage_V, coldest_K);
  const trend = trendOf(context, tests, cold, coldest_K);
  const present = presentReserve({
    module,
    circuits,
    tests,
    since,
    trend,
    drivePower_W,
    voltage_V,
    coldest_K,
    now_K: figures.temperatureNow_K ?? tests.temperature_K[n - 1]!,
    presentOpening_pct: input.presentOpening_pct ?? null,
    cold,
  });
  const { capacitance_F, capacitanceUncertainty_F, esr_Ohm, esrUncertainty_Ohm } = present;
  return {
    reserve: present.now,
    reserveHistory: historyPoints(tests, cold.reserve),
    forecast: forecastFrom(
      trend,
      {
        tests: n - since,
        span_s: tests.time_s[n - 1]! - tests.time_s[since]!,
        seen_s: tests.time_s[n - 1]! - tests.time_s[0]!,
        afterStep: since > 0,
        temperaturesKnown: tests.temperaturesKnown,
        allTests: n,
        now_s: input.now_s,
        like: input.like ?? null,
      },
      settings,
    ),
    leakage: assessLeakage({ module, figures, decay, capacitance_F, esr_Ohm, demand, settings }),
    weakCell: weakCellOf(context, tests),
    capacitance_F,
    capacitanceUncertainty_F,
    esr_Ohm: tests.esrLaw ? esr_Ohm : null,
    esrUncertainty_Ohm,
    baseline: keptBaseline(baselineOf(tests, module, settings), earlier, module),
    temperatureLaw: tests.law,
    suddenChange: findSuddenChange(tests, (c, r) => reserveOf(module, demand, c, r, voltage_V).reserve),
    weightedAge_d: tests.weightedAge_s[n - 1]! / day_s,
  };
}

function trendOf(
  { input, settings, demand, voltage_V }: AssessmentContext,
  tests: NormalisedTests,
  cold: TestReserves,
  coldest_K: number,
): Trend | null {
  const { module, now_s } = input;
  const lastStep = tests.capacitanceSteps.at(-1) ?? null;
  const capacitance_F = adjustedForSteps(tests, cold.capacitance_F);
  const today = { capacitance_F: median(capacitance_F.slice(-recentTests)), esr_Ohm: cold.esr_Ohm.at(-1)! };
  const exponent = esrExponent(tests);
  const limits = [settings.fadingReserve, settings.unableReserve];
  return reserveTrend({
    time_s: tests.time_s,
    temperature_K: tests.temperature_K,
    capacitance_F,
    coldest_K,
    perK: tests.capacitanceLaw.perK,
    scatter: tests.scatter,
    step: lastStep && { index: lastStep.index, uncertainty: lastStep.uncertainty },
    now_s,
    installed_s: installedAt_s(module),
    belief: input.like?.belief,
    lifeDoubling_K: settings.lifeDoubling_K,
    limits_F: limits.map((limit) => capacitancesAtReserve(module, demand, voltage_V, today, exponent, limit)),
    draws: settings.bootstrapDraws,
    seed: settings.seed,
  });
}

function weakCellOf({ input: { module }, decay }: AssessmentContext, tests: NormalisedTests) {
  const lastStep = tests.capacitanceSteps.at(-1) ?? null;
  const esrStep = lastStep
    ? (tests.esrSteps.find((step) => Math.abs(step.index - lastStep.index) <= 1)?.size ?? 0)
    : null;
  return assessWeakCell({
    cellsInSeries: module.cellsInSeries,
    capacitanceStep: lastStep,
    esrStep: tests.esrLaw ? esrStep : null,
    scatter: tests.scatter,
    decay,
    tests: tests.tests.length,
  });
}
