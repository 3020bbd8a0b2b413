import { statement } from '../diagnosis/index.js';
import {
  ageingMonths,
  baselineOf,
  ratedBaseline,
  esrCourse,
  normaliseTests,
  type NormalisedTests,
  reserveTrend,
  atTodaysLevel,
  findSuddenChange,
  lastStepIndex,
  capacitancePrior,
  esrPrior,
  type TemperatureLaw,
} from './ageing/index.js';
import { circuitsOf, closingDemand, driveOnePower_W, proofState } from './closing/index.js';
import { keptBaseline, keptMonths } from './earlier.js';
import { BackupInputError } from './errors.js';
import {
  forecastFrom,
  presentReserve,
  type ReserveNow,
  reserveOf,
  reservesOfTests,
  historyPoints,
  capacitancesAtReserve,
} from './reserve/index.js';
import {
  assessHealth,
  findPowerLosses,
  openCircuitDecay,
  restingFigures,
  assessCharger,
  assessLeakage,
  assessWeakCell,
} from './resting/index.js';
import type { AssessModuleInput, ModuleAssessment } from './module-assessment.js';
import { moduleFindings } from './findings/index.js';
import { median } from '../numerics/robust.js';
import { defaultBackupSettings, type BackupSettings } from './settings.js';

const day_s = 86400;

/**
 * The state of one backup module from its judged closings and its latest readings: reserve and its history, forecast,
 * proof, leakage, charger, cells, health, and the findings that follow. Pure and repeatable: the same input and
 * `settings.seed` give the same result. Throws `BackupInputError` for closings out of time order or columns of unequal
 * length; too little data is a state of its own everywhere.
 */
export function assessModule(input: AssessModuleInput): ModuleAssessment {
  const { module, circuits, closings, readings, now_s } = input;
  const settings: BackupSettings = { ...defaultBackupSettings, ...input.settings };
  for (let i = 1; i < closings.length; i++) {
    if (!(closings[i]!.startedAt_s >= closings[i - 1]!.startedAt_s))
      throw new BackupInputError('closings', 'must be in time order');
  }
  const own = circuitsOf(module, circuits);
  const figures = restingFigures(readings, now_s);
  const losses = findPowerLosses(readings);
  const decay = openCircuitDecay(readings, losses);
  const tests = normaliseTests(closings, settings.lifeDoubling_K);

  const voltage_V = chargedVoltage(input, figures.chargedVoltage_V);
  const coldest_K = lowest(tests, figures.lowestTemperature_K);
  const drivePower_W = driveOnePower_W(module, own, closings);
  const demand = closingDemand(module, circuits, 100, drivePower_W);

  const earlier = input.earlier ?? null;
  const base = {
    module: module.number,
    installedOn: module.installedOn,
    assessedAt_s: now_s,
    proof: proofState(closings, now_s, settings),
    charger: assessCharger(module, figures, now_s, settings),
    ageing: keptMonths(tests ? ageingMonths(tests, module, settings.lifeDoubling_K) : [], earlier, module),
    lowestTemperature_K: coldest_K,
  };
  const withFindings = (assessment: Omit<ModuleAssessment, 'findings'>): ModuleAssessment => ({
    ...assessment,
    findings: moduleFindings({
      module,
      closings,
      now_s,
      settings,
      assessment,
      refrigerant: input.refrigerant ?? null,
    }),
  });
  const healthWith = (reserve: ReserveNow) =>
    assessHealth({
      module,
      readings,
      dischargedAt_s: closings.map((closing) => closing.startedAt_s),
      reserve,
      unableReserve: settings.unableReserve,
    });
  const leakageAt = (capacitance_F: number, esr_Ohm: number) =>
    assessLeakage({ module, figures, decay, capacitance_F, esr_Ohm, demand, settings });

  if (!tests || coldest_K === null) {
    const reserve: ReserveNow = {
      state: 'unknown',
      reason: tests
        ? statement('No module temperature was ever sent, so the reserve on a cold day cannot be said.')
        : statement('No closing or self-test has given a capacitance yet.'),
    };
    const assessment: Omit<ModuleAssessment, 'findings'> = {
      ...base,
      reserve,
      health: healthWith(reserve),
      reserveHistory: [],
      forecast: {
        state: 'refused',
        reason: tests ? 'no-temperature' : 'too-few-tests',
        sentence: statement('No forecast without a known reserve.'),
      },
      leakage: leakageAt(module.ratedCapacitance_F, module.ratedEsr_Ohm),
      weakCell: assessWeakCell({
        cellsInSeries: module.cellsInSeries,
        capacitanceStep: null,
        esrStep: null,
        scatter: 0,
        decay,
        tests: 0,
      }),
      capacitance_F: null,
      capacitanceUncertainty_F: null,
      esr_Ohm: null,
      esrUncertainty_Ohm: null,
      baseline: keptBaseline(ratedBaseline(module), earlier, module),
      temperatureLaw: unlearned,
      suddenChange: null,
      weightedAge_d: null,
    };
    return withFindings(assessment);
  }

  const cold = reservesOfTests(tests, module, demand, voltage_V, coldest_K);
  const since = lastStepIndex(tests);
  const n = tests.tests.length;
  const lastStep = tests.capacitanceSteps[tests.capacitanceSteps.length - 1] ?? null;
  const course = esrCourse(tests);
  const levels_F = atTodaysLevel(tests, cold.capacitance_F);
  const today = { capacitance_F: median(levels_F.slice(-7)), esr_Ohm: cold.esr_Ohm[n - 1]! };
  const limits = [settings.fadingReserve, settings.unableReserve];
  const trend = reserveTrend({
    time_s: tests.time_s,
    temperature_K: tests.temperature_K,
    capacitance_F: levels_F,
    coldest_K,
    perK: tests.capacitanceLaw.perK,
    scatter: tests.scatter,
    step: lastStep && { index: lastStep.index, uncertainty: lastStep.uncertainty },
    now_s,
    lifeDoubling_K: settings.lifeDoubling_K,
    limits_F: limits.map((limit) => capacitancesAtReserve(module, demand, voltage_V, today, course, limit)),
    draws: settings.bootstrapDraws,
    seed: settings.seed,
  });
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
  const suddenChange = findSuddenChange(tests, (c, r) => reserveOf(module, demand, c, r, voltage_V).reserve);
  const esrStepThere = lastStep
    ? (tests.esrSteps.find((step) => Math.abs(step.index - lastStep.index) <= 1)?.size ?? 0)
    : null;
  const assessment: Omit<ModuleAssessment, 'findings'> = {
    ...base,
    reserve: present.now,
    health: healthWith(present.now),
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
        now_s,
      },
      settings,
    ),
    leakage: leakageAt(present.capacitance_F, present.esr_Ohm),
    weakCell: assessWeakCell({
      cellsInSeries: module.cellsInSeries,
      capacitanceStep: lastStep,
      esrStep: tests.esrLaw ? esrStepThere : null,
      scatter: tests.scatter,
      decay,
      tests: n,
    }),
    capacitance_F: present.capacitance_F,
    capacitanceUncertainty_F: present.capacitanceUncertainty_F,
    esr_Ohm: tests.esrLaw ? present.esr_Ohm : null,
    esrUncertainty_Ohm: present.esrUncertainty_Ohm,
    baseline: keptBaseline(baselineOf(tests, module, settings), earlier, module),
    temperatureLaw: tests.law,
    suddenChange,
    weightedAge_d: tests.weightedAge_s[n - 1]! / day_s,
  };
  return withFindings(assessment);
}

const unlearned: TemperatureLaw = {
  capacitancePerK: capacitancePrior.mean,
  capacitancePerKUncertainty: capacitancePrior.spread,
  esrPerK: esrPrior.mean,
  esrPerKUncertainty: esrPrior.spread,
  from: 'prior',
  span_K: 0,
};

/** Voltage from which the next closing will start: as charged now, before the last closings, or as rated. */
function chargedVoltage({ module, closings }: AssessModuleInput, charged_V: number | null): number {
  if (charged_V !== null) return charged_V;
  const before = closings.slice(-5).flatMap((closing) => closing.voltageBefore_V ?? []);
  return before.length > 0 ? median(before) : module.ratedVoltage_V;
}

function lowest(tests: NormalisedTests | null, readings_K: number | null): number | null {
  let low = readings_K ?? Infinity;
  for (const test of tests?.tests ?? []) {
    if (test.temperature_K !== null) low = Math.min(low, test.temperature_K);
  }
  return Number.isFinite(low) ? low : null;
}
