import { statement } from '../diagnosis/index.js';
import { capacitancePrior, esrPrior, ratedBaseline, type TemperatureLaw } from './ageing/index.js';
import type { AssessmentContext } from './assessment-context.js';
import { keptBaseline } from './earlier.js';
import type { AssessmentByTests } from './module-assessment.js';
import { assessLeakage, assessWeakCell } from './resting/index.js';

const priorLaw: TemperatureLaw = {
  capacitancePerK: capacitancePrior.mean,
  capacitancePerKUncertainty: capacitancePrior.spread,
  esrPerK: esrPrior.mean,
  esrPerKUncertainty: esrPrior.spread,
  from: 'prior',
  span_K: 0,
};

/** A module without a comparable test, or without any temperature: reserve unknown, the rest by rated values. */
export function assessUntestedModule(context: AssessmentContext): AssessmentByTests {
  const { input, settings, earlier, figures, decay, tests, demand } = context;
  const { module } = input;
  return {
    reserve: {
      state: 'unknown',
      reason: tests
        ? statement('No module temperature was ever sent, so the reserve on a cold day is unknown.')
        : statement('No closing or self-test has given a capacitance yet.'),
    },
    reserveHistory: [],
    forecast: {
      state: 'refused',
      reason: tests ? 'no-temperature' : 'too-few-tests',
      sentence: statement('No forecast without a known reserve.'),
    },
    leakage: assessLeakage({
      module,
      figures,
      decay,
      capacitance_F: module.ratedCapacitance_F,
      esr_Ohm: module.ratedEsr_Ohm,
      demand,
      settings,
    }),
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
    temperatureLaw: priorLaw,
    suddenChange: null,
    weightedAge_d: null,
  };
}
