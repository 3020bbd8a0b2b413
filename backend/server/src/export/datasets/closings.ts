import type { ClosingJudgement } from '@coldrounds/core';
import type { TakenClosing } from '../../storage/taking-away/taken.repository.js';
import { ids, placeColumns, placed, tableOf, type Place, type RowColumn } from '../dataset.js';

type Closing = TakenClosing & { place: Place };
type Figure = {
  [Key in keyof ClosingJudgement]: ClosingJudgement[Key] extends number | null ? Key : never;
}[keyof ClosingJudgement];

const figure = (key: Figure, name: string, unit: string, meaning: string): RowColumn<Closing> => ({
  ...{ name, unit, meaning, type: 'double' },
  of: ({ judgement }) => judgement[key],
});

const columns: RowColumn<Closing>[] = [
  ...placeColumns('module'),
  {
    name: 'time',
    type: 'time',
    meaning: 'Start of the closing.',
    of: ({ judgement }) => judgement.startedAt_s,
  },
  { name: 'judged_at', type: 'time', meaning: 'When it was judged.', of: ({ judgedAt_s }) => judgedAt_s },
  {
    ...{ name: 'kind', type: 'text', meaning: 'self-test, or power-loss where the mains were seen gone.' },
    of: ({ judgement }) => judgement.kind,
  },
  {
    ...{
      name: 'kind_seen',
      type: 'flag',
      meaning: 'Whether the mains contact was known, so that the kind is no assumption.',
    },
    of: ({ judgement }) => judgement.kindSeen,
  },
  figure('temperature_K', 'temperature_k', 'K', 'Temperature of the module.'),
  figure('capacitance_F', 'capacitance_f', 'F', 'Capacitance.'),
  figure('capacitanceUncertainty_F', 'capacitance_uncertainty_f', 'F', 'Its standard uncertainty.'),
  {
    ...{ name: 'capacitance_method', type: 'text' },
    meaning: 'iec-window (IEC 62391-1) or least-squares.',
    of: ({ judgement }) => judgement.capacitanceMethod,
  },
  figure('esr_Ohm', 'esr_ohm', 'Ohm', 'Equivalent series resistance.'),
  figure('esrUncertainty_Ohm', 'esr_uncertainty_ohm', 'Ohm', 'Its standard uncertainty.'),
  figure('current_A', 'current_a', 'A', 'Mean current while the module delivered.'),
  figure('drivePower_W', 'drive_power_w', 'W', 'Mean power while the module drove the valve.'),
  figure('driveTime_s', 'drive_time_s', 's', 'How long it drove the valve.'),
  figure('voltageBefore_V', 'voltage_before_v', 'V', 'Voltage before the closing.'),
  figure('voltageAfter_V', 'voltage_after_v', 'V', 'Voltage after it.'),
  figure('voltageLowest_V', 'voltage_lowest_v', 'V', 'Lowest voltage in it.'),
  figure('energyUsed_J', 'energy_used_j', 'J', 'Energy that the module delivered.'),
  figure('energyExpected_J', 'energy_expected_j', 'J', 'Energy that this closing should have needed.'),
  figure('openingBefore_pct', 'opening_before_pct', '%', 'Opening of the valve before the closing.'),
  figure('openingAfter_pct', 'opening_after_pct', '%', 'Opening of the valve after it.'),
  figure('timeToShut_s', 'time_to_shut_s', 's', 'From the start until the valve was first seen shut.'),
  {
    ...{
      name: 'shut',
      type: 'flag',
      meaning: 'Whether the valve ended shut; missing: the telemetry cannot say.',
    },
    of: ({ judgement }) => judgement.shut,
  },
  {
    ...{
      name: 'proof',
      type: 'flag',
      meaning: 'Whether the valve was seen to travel and to end shut on stored energy.',
    },
    of: ({ judgement }) => judgement.proof,
  },
];

export const closingsDataset = tableOf<Closing>(
  { name: 'closings', rowIs: 'One judged closing on stored energy.', spanOf: 'the start of the closing' },
  columns,
  ({ taken }, { modules, span }) =>
    placed(modules, taken.closings(ids(modules), span), ({ moduleId }) => moduleId),
);
