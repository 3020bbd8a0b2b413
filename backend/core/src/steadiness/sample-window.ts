import {
  operatingStates,
  type RunningConditions,
  type StateMinutes,
  type Steadiness,
  type ValveUse,
  type WindowJudgement,
} from './windows/window-judgement.js';

export const start_s = 1_700_006_400;

/** What differs from a calm window. */
export interface Change {
  superheat?: Partial<Steadiness>;
  valve?: Partial<ValveUse>;
  conditions?: Partial<RunningConditions>;
}

const noMinutes = Object.fromEntries(operatingStates.map((state) => [state, 0])) as StateMinutes;

/** Two hours of calm running at 6 K, the valve half open, 5 K of subcooling, with what differs. */
export function window(k: number, { superheat, valve, conditions }: Change = {}): WindowJudgement {
  return {
    from_s: start_s + 7200 * k,
    to_s: start_s + 7200 * (k + 1),
    sampleCount: 720,
    interval_s: 10,
    minutes: { ...noMinutes, steady: 120 },
    superheat: {
      minutes: 120,
      samples: 720,
      mean_K: 6,
      median_K: 6,
      spread_K: 0.2,
      robustSpread_K: 0.2,
      minimum_K: 5.4,
      percentile1_K: 5.5,
      percentile5_K: 5.7,
      percentile95_K: 6.3,
      uncertainty_K: 0.4,
      floodbackLimit_K: 2,
      underLimitFraction: 0,
      surelyUnderLimitFraction: 0,
      possiblyUnderLimitFraction: 0,
      underLimitExcursions: 0,
      surelyUnderLimitExcursions: 0,
      starvedLimit_K: 12,
      starvedFraction: 0,
      setpoint_K: 6,
      offset_K: 0,
      ...superheat,
    },
    oscillation: {
      oscillating: false,
      period_s: null,
      amplitude: null,
      indices: {},
      judgedMinutes: 120,
      huntingMinutes: 0,
      cycles: null,
      crest_s: null,
      origin: null,
      originIndices: {},
      partners: [],
      shape: null,
    },
    valve: {
      minutes: 120,
      runningMinutes: 120,
      travel_strokes: 0.1,
      reversals: 12,
      mean_pct: 50,
      minimum_pct: 45,
      maximum_pct: 55,
      nearShutFraction: 0,
      nearOpenFraction: 0,
      followsSuperheat: null,
      ...valve,
    },
    conditions: {
      compressorLoad_pct: 70,
      valveOpening_pct: 50,
      evaporatingTemperature_K: 276,
      condensingTemperature_K: 312,
      subcooling_K: 5,
      dischargeTemperature_K: 335,
      enteringWaterTemperature_K: 285,
      leavingWaterTemperature_K: 280,
      ambientTemperature_K: 300,
      ...conditions,
    },
  };
}

/** `days` days of such windows, from a day on. */
export const days = (count: number, change: Change = {}, from = 0): WindowJudgement[] =>
  Array.from({ length: 12 * count }, (_, k) => window(12 * from + k, change));
