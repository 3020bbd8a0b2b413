import { median } from '../numerics/index.js';
import { normaliseTests, type NormalisedTests } from './ageing/index.js';
import { circuitsOf, closingDemand, motorPower_W, type ClosingDemand } from './closing/index.js';
import type { EarlierAssessment } from './earlier.js';
import { BackupInputError } from './errors.js';
import type { AssessModuleInput } from './module-assessment.js';
import {
  findPowerLosses,
  openCircuitDecay,
  restingFigures,
  type OpenCircuitDecay,
  type RestingFigures,
} from './resting/index.js';
import { defaultBackupSettings, type BackupSettings } from './settings.js';

/** What all parts of an assessment need: the input with its settings, and what was worked out from it once. */
export interface AssessmentContext {
  input: AssessModuleInput;
  settings: BackupSettings;
  earlier: EarlierAssessment | null;
  figures: RestingFigures;
  decay: OpenCircuitDecay | null;
  /** `null` where no test can be compared with another. */
  tests: NormalisedTests | null;
  /** Voltage from which the next closing will start. */
  voltage_V: number;
  /** Lowest temperature of a test or reading; `null` where none was ever sent. */
  coldest_K: number | null;
  /** Power of one motor. */
  drivePower_W: number;
  /** One closing from fully open. */
  demand: ClosingDemand;
}

/** Throws `BackupInputError` for closings out of time order or columns of unequal length. */
export function assessmentContext(input: AssessModuleInput): AssessmentContext {
  const { module, circuits, closings, readings, now_s } = input;
  const settings = { ...defaultBackupSettings, ...input.settings };
  for (let i = 1; i < closings.length; i++) {
    if (!(closings[i]!.startedAt_s >= closings[i - 1]!.startedAt_s))
      throw new BackupInputError('closings', 'must be in time order');
  }
  const figures = restingFigures(readings, now_s);
  const tests = normaliseTests(closings, settings.lifeDoubling_K);
  const drivePower_W = motorPower_W(module, circuitsOf(module, circuits), closings);
  return {
    input,
    settings,
    earlier: input.earlier ?? null,
    figures,
    decay: openCircuitDecay(readings, findPowerLosses(readings)),
    tests,
    voltage_V: chargedVoltage(input, figures.chargedVoltage_V),
    coldest_K: lowest(tests, figures.lowestTemperature_K),
    drivePower_W,
    demand: closingDemand(module, circuits, 100, drivePower_W),
  };
}

/** As charged now, else before the last closings, else as rated. */
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
