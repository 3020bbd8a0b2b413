import { ageingMonths } from './ageing/index.js';
import { assessTestedModule } from './assess-tested-module.js';
import { assessUntestedModule } from './assess-untested-module.js';
import { assessmentContext, type AssessmentContext } from './assessment-context.js';
import { proofState } from './closing/index.js';
import { keptMonths } from './earlier.js';
import { moduleFindings } from './findings/index.js';
import type { AssessModuleInput, ModuleAssessment } from './module-assessment.js';
import { assessCharger, assessHealth } from './resting/index.js';

/**
 * The state of one backup module from its judged closings and its latest readings: reserve and its history, forecast,
 * proof, leakage, charger, cells, health, and the findings that follow. Pure and repeatable: the same input and
 * `settings.seed` give the same result. Throws `BackupInputError` for closings out of time order or columns of unequal
 * length; too little data is a state of its own everywhere.
 */
export function assessModule(input: AssessModuleInput): ModuleAssessment {
  const context = assessmentContext(input);
  const { settings, figures, tests, coldest_K } = context;
  const { module, closings, now_s } = input;
  const byTests =
    tests && coldest_K !== null
      ? assessTestedModule(context, tests, coldest_K)
      : assessUntestedModule(context);
  const assessment: Omit<ModuleAssessment, 'findings'> = {
    module: module.number,
    installedOn: module.installedOn,
    assessedAt_s: now_s,
    proof: proofState(closings, now_s, settings),
    charger: assessCharger(module, figures, now_s, settings),
    ageing: monthsOf(context),
    lowestTemperature_K: coldest_K,
    health: assessHealth({
      module,
      readings: input.readings,
      dischargedAt_s: closings.map((closing) => closing.startedAt_s),
      reserve: byTests.reserve,
      unableReserve: settings.unableReserve,
    }),
    ...byTests,
  };
  const refrigerant = input.refrigerant ?? null;
  const findings = moduleFindings({ module, closings, now_s, settings, assessment, refrigerant });
  return { ...assessment, findings };
}

const monthsOf = ({ input: { module }, tests, earlier, settings }: AssessmentContext) =>
  keptMonths(tests ? ageingMonths(tests, module, settings.lifeDoubling_K) : [], earlier, module);
