import {
  operatingStates,
  swingSignals,
  type CycleShape,
  type RunningConditions,
  type StateMinutes,
  type Steadiness,
  type SwingPartner,
  type ValveUse,
  type WindowJudgement,
  type WindowOscillation,
} from '../steadiness/windows/window-judgement.js';
import {
  byName,
  figure,
  figureOrNull,
  instant,
  instantOrNull,
  listOf,
  oneOf,
  orNull,
  pack,
  record,
  since,
  unpack,
  whole,
  type Shape,
} from './packing.js';

/** A judged window as it is kept. */
export interface KeptWindow {
  /** Start of the window, s since the epoch; the judgement's own times are those of its samples. */
  start_s: number;
  judgedAt_s: number;
  judgement: WindowJudgement;
}

/** Raise it with every change of a shape below, and add new fields by `since`. */
const version = 4;

const statesOfVersion2: ReadonlySet<string> = new Set(['reversed', 'defrost', 'pump-down']);

const minutes = record<StateMinutes>(
  Object.fromEntries(
    operatingStates.map((state) => [state, statesOfVersion2.has(state) ? since(2, figure, 0) : figure]),
  ) as Record<keyof StateMinutes, Shape<number>>,
);

const superheat = record<Steadiness>({
  minutes: figure,
  samples: whole,
  mean_K: figure,
  median_K: figure,
  spread_K: figure,
  robustSpread_K: figure,
  minimum_K: figure,
  percentile1_K: figure,
  percentile5_K: figure,
  percentile95_K: figure,
  uncertainty_K: figure,
  floodbackLimit_K: figure,
  underLimitFraction: figure,
  surelyUnderLimitFraction: figure,
  possiblyUnderLimitFraction: figure,
  underLimitExcursions: since(3, whole, 0),
  surelyUnderLimitExcursions: since(3, whole, 0),
  starvedLimit_K: figure,
  starvedFraction: figure,
  setpoint_K: figureOrNull,
  offset_K: figureOrNull,
});

const partner = record<SwingPartner>({
  signal: oneOf(swingSignals),
  amplitude: figure,
  varianceFraction: figure,
  coherence: figureOrNull,
  lead_cycles: figure,
});

const cycleShape = record<CycleShape>({
  swings: whole,
  openingSwing_pct: figure,
  openingSwingScatter: figure,
});

/** Indices under other names in windows that were packed before. */
const presentNames: Readonly<Record<string, string>> = {
  lombScargleShare: 'lombScarglePower',
  haegglundLoadShare: 'haegglundLoadFraction',
  openingShare: 'openingVarianceFraction',
};

const oscillation = record<WindowOscillation>({
  oscillating: oneOf([null, false, true]),
  period_s: figureOrNull,
  amplitude: figureOrNull,
  indices: byName(figureOrNull, presentNames),
  judgedMinutes: figure,
  huntingMinutes: figure,
  cycles: figureOrNull,
  crest_s: instantOrNull,
  origin: oneOf([null, 'valve-friction', 'not-valve-friction', 'undecided']),
  originIndices: byName(figureOrNull, presentNames),
  partners: listOf(partner),
  shape: orNull(cycleShape),
});

const valve = record<ValveUse>({
  minutes: figure,
  runningMinutes: figure,
  travel_strokes: figure,
  reversals: whole,
  mean_pct: figure,
  minimum_pct: figure,
  maximum_pct: figure,
  nearShutFraction: figure,
  nearOpenFraction: figure,
  followsSuperheat: since(4, figureOrNull, null),
});

const conditions = record<RunningConditions>({
  compressorLoad_pct: figureOrNull,
  valveOpening_pct: figureOrNull,
  evaporatingTemperature_K: figureOrNull,
  condensingTemperature_K: figureOrNull,
  subcooling_K: figureOrNull,
  dischargeTemperature_K: figureOrNull,
  enteringWaterTemperature_K: figureOrNull,
  leavingWaterTemperature_K: figureOrNull,
  ambientTemperature_K: figureOrNull,
});

const judgement = record<WindowJudgement>({
  from_s: instant,
  to_s: instant,
  sampleCount: whole,
  interval_s: figureOrNull,
  minutes,
  superheat: orNull(superheat),
  oscillation,
  valve: orNull(valve),
  conditions,
});

const keptWindow = record<KeptWindow>({ start_s: instant, judgedAt_s: instant, judgement });

/**
 * Judged windows as bytes, about 400 of them a window against 2,500 as JSON, read back ten times as fast. Figures
 * keep 7 digits, so whoever judges must go on with what `unpackWindows` gives, as whoever reads them later does.
 */
export const packWindows = (windows: readonly KeptWindow[]): Uint8Array => pack(version, keptWindow, windows);

export const unpackWindows = (bytes: Uint8Array): KeptWindow[] => unpack(version, keptWindow, bytes);
