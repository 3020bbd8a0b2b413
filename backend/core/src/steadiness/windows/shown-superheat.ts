import type { OscillationVerdict } from '../../hunting/detection/detect-oscillation.js';
import { sendingNoise, type SeriesHabits } from '../../habits/signal/signal-habit.js';
import { saturationSlope_K_Pa } from '../../refrigerants/index.js';
import type { CircuitSeries } from '../../telemetry/circuit-series.js';

/** How finely superheat and valve opening are shown by the way their signals are sent. */
export interface ShownSuperheat {
  /** Standard deviation that the sending adds to one superheat value, K. */
  noise_K: number;
  /** Step by which superheat moves when both its signals move by one of theirs, K. */
  step_K: number;
  openingStep_pct: number;
  /** Which of two signals moves first cannot be told. */
  clocksApart: boolean;
  /** By how much the opening's clock may be off, s: what of its delay at stops the controller cannot make. */
  openingApart_s: number;
}

/** A controller that is told of a stop drives its valve shut within this, s. Judgement, no source. */
const controllerDelay_s = 20;

function openingApart_s({ delays, signals }: SeriesHabits): number {
  const { delay_s } = delays.valveOpening_pct ?? { delay_s: 0 };
  const between_s = signals.valveOpening_pct.interval_s ?? 0;
  return Math.max(0, -delay_s - between_s, delay_s - controllerDelay_s - between_s);
}

/** @param weight_s weights of the samples whose mean suction pressure gives the slope of the saturation curve */
export function shownSuperheat(
  series: CircuitSeries,
  refrigerant: string,
  habits: SeriesHabits,
  weight_s: Float64Array,
): ShownSuperheat {
  const { suctionPressure_Pa, suctionTemperature_K, valveOpening_pct } = habits.signals;
  const slope_K_Pa = slopeAt(series, refrigerant, weight_s);
  return {
    noise_K: Math.hypot(sendingNoise(suctionTemperature_K), sendingNoise(suctionPressure_Pa) * slope_K_Pa),
    step_K:
      suctionTemperature_K.resolution +
      suctionTemperature_K.deadband +
      (suctionPressure_Pa.resolution + suctionPressure_Pa.deadband) * slope_K_Pa,
    openingStep_pct: valveOpening_pct.resolution + valveOpening_pct.deadband,
    clocksApart: habits.clocksApart,
    openingApart_s: openingApart_s(habits),
  };
}

function slopeAt(series: CircuitSeries, refrigerant: string, weight_s: Float64Array): number {
  let sum = 0;
  let time = 0;
  for (let i = 0; i < weight_s.length; i++) {
    if (!(weight_s[i] > 0) || !Number.isFinite(series.suctionPressure_Pa[i])) continue;
    sum += weight_s[i] * series.suctionPressure_Pa[i];
    time += weight_s[i];
  }
  if (time === 0) return 0;
  try {
    return saturationSlope_K_Pa(refrigerant, sum / time, 'dew');
  } catch {
    return 0; // Outside the table no superheat is told, and so no step of it.
  }
}

/** An opening whose steps are more than this fraction of its swing shows neither a plateau nor a phase. Judgement, no source. */
export const coarsestOpening = 0.25;

/**
 * A value that flickers between two steps is a square wave of half a step to either side, whose fundamental is 2/pi of the
 * step (Fourier series). An oscillation no larger may be the rounding alone: whether there is one cannot be told.
 */
export function limitedByResolution(verdict: OscillationVerdict, step_K: number): OscillationVerdict {
  if (!verdict.oscillating || (verdict.amplitude ?? 0) > (2 / Math.PI) * step_K) return verdict;
  return notTold(verdict);
}

/** Whether there is an oscillation cannot be told. */
export const notTold = (verdict: OscillationVerdict): OscillationVerdict => ({
  ...verdict,
  oscillating: null,
  period_s: null,
  amplitude: null,
  cycles: null,
  crest_s: null,
});
