import { operatingStates, type RunningConditions } from '@coldrounds/core';
import type { TakenDay, TakenWindow } from '../../storage/taking-away/taken.repository.js';
import { ids, placeColumns, placed, tableOf, type Place, type RowColumn } from '../dataset.js';

type Window = TakenWindow & { place: Place };
type Day = TakenDay & { place: Place };

const conditions: Record<keyof RunningConditions, [name: string, unit: string, meaning: string]> = {
  compressorLoad_pct: ['compressor_load_pct', '%', 'Mean load of the compressors'],
  valveOpening_pct: ['valve_opening_mean_pct', '%', 'Mean opening of the valve'],
  evaporatingTemperature_K: ['evaporating_temperature_k', 'K', 'Mean evaporating temperature (dew)'],
  condensingTemperature_K: ['condensing_temperature_k', 'K', 'Mean condensing temperature (bubble)'],
  subcooling_K: ['subcooling_k', 'K', 'Mean subcooling'],
  dischargeTemperature_K: ['discharge_temperature_k', 'K', 'Mean discharge temperature'],
  enteringWaterTemperature_K: ['entering_water_k', 'K', 'Mean temperature of the entering water'],
  leavingWaterTemperature_K: ['leaving_water_k', 'K', 'Mean temperature of the leaving water'],
  ambientTemperature_K: ['ambient_temperature_k', 'K', 'Mean temperature of the outdoor air'],
};

const superheat = (
  name: string,
  unit: string,
  meaning: string,
  of: (superheat: NonNullable<TakenWindow['judgement']['superheat']>) => number | null,
): RowColumn<Window> => ({
  ...{ name, unit, meaning, type: 'double' },
  of: ({ judgement }) => (judgement.superheat === null ? null : of(judgement.superheat)),
});

const valve = (
  name: string,
  unit: string,
  meaning: string,
  of: (valve: NonNullable<TakenWindow['judgement']['valve']>) => number,
): RowColumn<Window> => ({
  ...{ name, unit, meaning, type: 'double' },
  of: ({ judgement }) => (judgement.valve === null ? null : of(judgement.valve)),
});

const windowColumns: RowColumn<Window>[] = [
  ...placeColumns('circuit'),
  { name: 'time', type: 'time', meaning: 'Start of the window of two hours.', of: ({ start_s }) => start_s },
  { name: 'judged_at', type: 'time', meaning: 'When it was judged.', of: ({ judgedAt_s }) => judgedAt_s },
  {
    name: 'samples',
    type: 'integer',
    meaning: 'Samples in it.',
    of: ({ judgement }) => judgement.sampleCount,
  },
  {
    ...{ name: 'interval_s', type: 'double', unit: 's', meaning: 'Median spacing of the samples.' },
    of: ({ judgement }) => judgement.interval_s,
  },
  ...operatingStates.map((state): RowColumn<Window> => ({
    ...{ name: `${state.replaceAll('-', '_')}_min`, type: 'double', unit: 'min' },
    meaning: `Time in the state "${state}".`,
    of: ({ judgement }) => judgement.minutes[state],
  })),
  superheat('superheat_mean_k', 'K', 'Mean superheat over the steady time.', ({ mean_K }) => mean_K),
  superheat('superheat_median_k', 'K', 'Median superheat over the steady time.', ({ median_K }) => median_K),
  superheat(
    'superheat_spread_k',
    'K',
    'Standard deviation of superheat over the steady time.',
    ({ spread_K }) => spread_K,
  ),
  superheat('superheat_p5_k', 'K', '5th percentile of superheat.', ({ percentile5_K }) => percentile5_K),
  superheat('superheat_p95_k', 'K', '95th percentile of superheat.', ({ percentile95_K }) => percentile95_K),
  superheat(
    ...([
      'superheat_uncertainty_k',
      'K',
      'Standard uncertainty of one value of superheat, from the sensors’ tolerances.',
    ] as const),
    ({ uncertainty_K }) => uncertainty_K,
  ),
  superheat(
    ...(['under_limit_fraction', '1', 'Fraction of the steady time under the floodback limit.'] as const),
    ({ underLimitFraction }) => underLimitFraction,
  ),
  superheat(
    ...([
      'starved_fraction',
      '1',
      'Fraction of the steady time in which the evaporator is starved.',
    ] as const),
    ({ starvedFraction }) => starvedFraction,
  ),
  superheat('setpoint_k', 'K', 'Setpoint of superheat.', ({ setpoint_K }) => setpoint_K),
  {
    ...{ name: 'oscillates', type: 'flag', meaning: 'Whether superheat hunts; missing: too little data.' },
    of: ({ judgement }) => judgement.oscillation.oscillating,
  },
  {
    ...{ name: 'period_s', type: 'double', unit: 's', meaning: 'Period of the oscillation.' },
    of: ({ judgement }) => judgement.oscillation.period_s,
  },
  {
    ...{ name: 'amplitude_k', type: 'double', unit: 'K', meaning: 'Half of the swing of superheat.' },
    of: ({ judgement }) => judgement.oscillation.amplitude,
  },
  {
    ...{
      name: 'judged_min',
      type: 'double',
      unit: 'min',
      meaning: 'Steady time that was looked at for hunting.',
    },
    of: ({ judgement }) => judgement.oscillation.judgedMinutes,
  },
  {
    ...{ name: 'hunting_min', type: 'double', unit: 'min', meaning: 'Of this the time that hunts.' },
    of: ({ judgement }) => judgement.oscillation.huntingMinutes,
  },
  {
    ...{ name: 'origin', type: 'text' },
    meaning:
      'Whether the cycle looks like friction in the valve: valve-friction, not-valve-friction or undecided.',
    of: ({ judgement }) => judgement.oscillation.origin,
  },
  valve(
    'valve_travel_strokes',
    '1',
    'Sum of the valve’s moves over full strokes.',
    ({ travel_strokes }) => travel_strokes,
  ),
  valve('valve_reversals', '1', 'Reversals of the valve.', ({ reversals }) => reversals),
  valve('valve_observed_min', 'min', 'Time in which the valve’s opening was seen.', ({ minutes }) => minutes),
  ...Object.entries(conditions).map(([key, [name, unit, meaning]]): RowColumn<Window> => ({
    ...{ name, unit, type: 'double', meaning: `${meaning} over the steady time.` },
    of: ({ judgement }) => judgement.conditions[key as keyof RunningConditions],
  })),
];

export const windowsDataset = tableOf<Window>(
  {
    name: 'windows',
    rowIs: 'One judged window of two hours of one circuit.',
    spanOf: 'the start of the window',
  },
  windowColumns,
  ({ taken }, { circuits, span }) =>
    placed(circuits, taken.windows(ids(circuits), span), ({ circuitId }) => circuitId),
);

const dayColumns: RowColumn<Day>[] = [
  ...placeColumns('circuit'),
  { name: 'time', type: 'time', meaning: 'Start of the day, 0 h UTC.', of: ({ day_s }) => day_s },
  { name: 'windows', type: 'integer', meaning: 'Judged windows of the day.', of: ({ windows }) => windows },
  {
    ...{ name: 'steady_min', type: 'double', unit: 'min', meaning: 'Steady running.' },
    of: ({ steadyMinutes }) => steadyMinutes,
  },
  {
    ...{
      name: 'superheat_mean_k',
      type: 'double',
      unit: 'K',
      meaning: 'Mean superheat over the steady time.',
    },
    of: ({ superheatMean_K }) => superheatMean_K,
  },
  {
    ...{ name: 'superheat_spread_k', type: 'double', unit: 'K' },
    meaning: 'Standard deviation of superheat over the steady time.',
    of: ({ superheatSpread_K }) => superheatSpread_K,
  },
  {
    ...{ name: 'under_limit_fraction', type: 'double', unit: '1' },
    meaning: 'Fraction of the steady time under the floodback limit.',
    of: ({ floodbackFraction }) => floodbackFraction,
  },
  {
    ...{ name: 'starved_fraction', type: 'double', unit: '1' },
    meaning: 'Fraction of the steady time in which the evaporator is starved.',
    of: ({ starvedFraction }) => starvedFraction,
  },
  {
    ...{
      name: 'judged_min',
      type: 'double',
      unit: 'min',
      meaning: 'Steady time that was looked at for hunting.',
    },
    of: ({ judgedMinutes }) => judgedMinutes,
  },
  {
    ...{ name: 'hunting_min', type: 'double', unit: 'min', meaning: 'Of this the time that hunts.' },
    of: ({ huntingMinutes }) => huntingMinutes,
  },
  {
    ...{
      name: 'valve_observed_min',
      type: 'double',
      unit: 'min',
      meaning: 'Time in which the valve’s opening was seen.',
    },
    of: ({ valveMinutes }) => valveMinutes,
  },
  {
    ...{
      name: 'valve_travel_strokes',
      type: 'double',
      unit: '1',
      meaning: 'Sum of the valve’s moves over full strokes.',
    },
    of: ({ valveTravel_strokes }) => valveTravel_strokes,
  },
  {
    ...{ name: 'valve_reversals', type: 'integer', unit: '1', meaning: 'Reversals of the valve.' },
    of: ({ valveReversals }) => valveReversals,
  },
];

export const circuitDaysDataset = tableOf<Day>(
  {
    name: 'circuit-days',
    rowIs: 'One day of one circuit, from its judged windows.',
    spanOf: 'the start of the day',
  },
  dayColumns,
  ({ taken }, { circuits, span }) =>
    placed(circuits, taken.days(ids(circuits), span), ({ circuitId }) => circuitId),
);
