import { daysPerYear } from '../../study/backup-cohort.js';
import type { CircuitRow } from '../../study/circuit-study.js';
import type { ModuleMonth } from '../../study/study.service.js';
import { tableOf, type Place, type RowColumn } from '../dataset.js';

const day_s = 86_400;

const keysOf = (places: readonly Place[]): Set<string> =>
  new Set(places.map(({ site, unit, number }) => `${site}/${unit}/${number}`));

const circuitFigure = (
  name: string,
  unit: string,
  meaning: string,
  of: (row: CircuitRow) => number | null,
): RowColumn<CircuitRow> => ({ ...{ name, unit, meaning, of, type: 'double' } });

const circuitColumns: RowColumn<CircuitRow>[] = [
  { name: 'site', type: 'text', meaning: 'Key of the site in the registry.', of: ({ site }) => site },
  { name: 'unit', type: 'text', meaning: 'Key of the unit at its site.', of: ({ unit }) => unit },
  {
    name: 'circuit',
    type: 'integer',
    meaning: 'Number of the circuit in its unit, from 1.',
    of: ({ circuit }) => circuit,
  },
  {
    ...{ name: 'left_out', type: 'text' },
    meaning: 'What a wrong sensor takes out of the figures: none, level, or level-and-swings.',
    of: ({ leftOut }) => leftOut,
  },
  circuitFigure('steady_min', 'min', 'Steady running in the span.', ({ steadyMinutes }) => steadyMinutes),
  circuitFigure('superheat_mean_k', 'K', 'Mean superheat.', ({ superheatMean_K }) => superheatMean_K),
  circuitFigure(
    ...(['superheat_spread_k', 'K', 'Standard deviation of superheat.'] as const),
    ({ superheatSpread_K }) => superheatSpread_K,
  ),
  circuitFigure(
    ...(['under_limit_fraction', '1', 'Fraction of the steady time under the floodback limit.'] as const),
    ({ floodbackFraction }) => floodbackFraction,
  ),
  circuitFigure(
    ...(['hunting_fraction', '1', 'Fraction of the judged time that hunts.'] as const),
    ({ huntingFraction }) => huntingFraction,
  ),
  circuitFigure(
    ...(['valve_travel_per_day', '1/d', 'Full strokes of the valve a day.'] as const),
    ({ valveTravel_strokes_day }) => valveTravel_strokes_day,
  ),
  circuitFigure(
    ...(['valve_reversals_per_day', '1/d', 'Reversals of the valve a day.'] as const),
    ({ valveReversals_day }) => valveReversals_day,
  ),
];

/** The figures of the field study, circuit by circuit; who groups them joins `circuits`. */
export const circuitStudyDataset = tableOf<CircuitRow>(
  {
    ...{
      name: 'circuit-study',
      rowIs: 'One circuit over the whole span, with what the field study says of it.',
    },
    spanOf: 'whole days up to now: the end of the span does not count',
  },
  circuitColumns,
  async function* ({ studies }, { circuits, sites, span }) {
    const days = Math.max(1, Math.ceil((Date.now() / 1000 - span.from_s) / day_s));
    const wanted = keysOf(circuits);
    const found = await studies.everyCircuit({ group: 'valve-size', days, sites });
    yield found.circuits.filter(({ site, unit, circuit }) => wanted.has(`${site}/${unit}/${circuit}`));
  },
);

const monthFigure = (
  name: string,
  unit: string,
  meaning: string,
  of: (row: ModuleMonth) => number | null,
): RowColumn<ModuleMonth> => ({ ...{ name, unit, meaning, of, type: 'double' } });

const moduleColumns: RowColumn<ModuleMonth>[] = [
  { name: 'site', type: 'text', meaning: 'Key of the site in the registry.', of: ({ site }) => site },
  { name: 'unit', type: 'text', meaning: 'Key of the unit at its site.', of: ({ unit }) => unit },
  {
    name: 'module',
    type: 'integer',
    meaning: 'Number of the backup module in its unit, from 1.',
    of: ({ module }) => module,
  },
  { name: 'time', type: 'time', meaning: 'Start of the month, UTC.', of: ({ month_s }) => month_s },
  monthFigure('age_years', 'a', 'Age since installation.', ({ age_d }) => age_d / daysPerYear),
  monthFigure(
    ...(['weighted_age_years', 'a', 'Age weighted by temperature.'] as const),
    ({ weightedAge_d }) => (weightedAge_d === null ? null : weightedAge_d / daysPerYear),
  ),
  monthFigure(
    'mean_temperature_k',
    'K',
    'Mean temperature of the module.',
    ({ meanTemperature_K }) => meanTemperature_K,
  ),
  monthFigure(
    'capacitance_f',
    'F',
    'Capacitance at the reference temperature.',
    ({ capacitance_F }) => capacitance_F,
  ),
  monthFigure(
    ...(['capacitance_uncertainty_f', 'F', 'Its standard uncertainty.'] as const),
    ({ capacitanceUncertainty_F }) => capacitanceUncertainty_F,
  ),
  monthFigure(
    'capacitance_of_rated',
    '1',
    'Capacitance over the rated one.',
    ({ relativeCapacitance }) => relativeCapacitance,
  ),
  monthFigure(
    'capacitance_of_new',
    '1',
    'Capacitance over that when new.',
    ({ capacitanceRatio }) => capacitanceRatio,
  ),
  monthFigure(
    'esr_ohm',
    'Ohm',
    'Equivalent series resistance at the reference temperature.',
    ({ esr_Ohm }) => esr_Ohm,
  ),
  monthFigure(
    ...(['esr_uncertainty_ohm', 'Ohm', 'Its standard uncertainty.'] as const),
    ({ esrUncertainty_Ohm }) => esrUncertainty_Ohm,
  ),
  monthFigure('esr_of_rated', '1', 'ESR over the rated one.', ({ relativeEsr }) => relativeEsr),
  monthFigure('esr_of_new', '1', 'ESR over that when new.', ({ esrRatio }) => esrRatio),
  {
    ...{
      name: 'new_value_from',
      type: 'text',
      meaning: 'own: the module was watched when new; rated: it was not.',
    },
    of: ({ newValueFrom }) => newValueFrom,
  },
  { name: 'tests', type: 'integer', meaning: 'Tests in the month.', of: ({ tests }) => tests },
];

export const moduleStudyDataset = tableOf<ModuleMonth>(
  {
    ...{ name: 'module-study', rowIs: 'One month of one backup module, as the field study has it.' },
    spanOf: 'the start of the month',
  },
  moduleColumns,
  async function* ({ studies }, { modules, sites, span }) {
    const wanted = keysOf(modules);
    const months = await studies.backupMonths({ group: 'rating', sites });
    yield months.filter(
      ({ site, unit, module, month_s }) =>
        wanted.has(`${site}/${unit}/${module}`) && month_s >= span.from_s && month_s < span.to_s,
    );
  },
);
