import { isCorrected, type SensorVerdict } from '../../diagnosis/not-judged.js';
import type { SensorError } from '../../diagnosis/finding.js';
import { saturationCurve, saturationPressure, saturationSlope_K_Pa } from '../../refrigerants/index.js';
import type { CircuitEntry } from '../../telemetry/registry.js';
import { OutOfRangeError } from '../../units/index.js';
import { superheatDistribution } from './superheat-distribution.js';
import type { RunningConditions, Steadiness, WindowJudgement } from '../windows/window-judgement.js';

/** Measured errors of a circuit's sensors, by the name of the sensor. */
export type SensorErrors = Partial<Record<string, SensorError>>;

/** The errors on one circuit that were measured well enough to be corrected. */
export function knownErrors(verdicts: readonly SensorVerdict[], circuit: number): SensorErrors {
  const errors: SensorErrors = {};
  for (const verdict of verdicts) {
    const { subject, error } = verdict;
    if (subject.kind !== 'sensor' || subject.circuit !== circuit || !error || !isCorrected(verdict)) continue;
    const before = errors[subject.sensor];
    errors[subject.sensor] = before
      ? {
          bias: before.bias + error.bias,
          uncertainty: Math.hypot(before.uncertainty, error.uncertainty),
          noise: Math.hypot(before.noise ?? 0, error.noise ?? 0),
        }
      : error;
  }
  return errors;
}

/** What is done to the superheat of one window. */
export interface SuperheatCorrection {
  /** Superheat as read less true superheat, K. */
  bias_K: number;
  /** Standard uncertainty of corrected superheat, K. */
  uncertainty_K: number;
  /** Standard deviation of the noise on single values of superheat, K. */
  noise_K: number;
}

/**
 * A window as it would have been judged by sensors without the errors given. A constant error of the suction temperature
 * moves superheat by as much, one of the suction pressure by the difference of the dew temperatures at the pressures as
 * read and as corrected. Discharge pressure and liquid temperature are corrected likewise. Windows whose pressures leave
 * the table stay as they are.
 * @throws UnknownRefrigerantError.
 */
export function correctedWindow(
  window: WindowJudgement,
  refrigerant: string,
  circuit: CircuitEntry,
  errors: SensorErrors,
): WindowJudgement {
  const conditions = correctedConditions(window.conditions, refrigerant, errors);
  const correction = superheatCorrection(window.conditions, conditions, refrigerant, circuit, errors);
  return {
    ...window,
    conditions,
    superheat: window.superheat && correction ? corrected(window.superheat, correction) : window.superheat,
  };
}

/** Dew temperature at a pressure that reads `bias_Pa` too much and as it stands gives `dew_K`; as it stands where out of range. */
function dewWithout(refrigerant: string, dew_K: number, bias_Pa: number): number {
  try {
    const { temperature } = saturationCurve(refrigerant, 'dew');
    const right_K = temperature(saturationPressure(refrigerant, dew_K, 'dew') - bias_Pa);
    return Number.isFinite(right_K) ? right_K : dew_K;
  } catch (error) {
    if (error instanceof OutOfRangeError) return dew_K;
    throw error;
  }
}

function correctedConditions(
  conditions: RunningConditions,
  refrigerant: string,
  errors: SensorErrors,
): RunningConditions {
  const { evaporatingTemperature_K, condensingTemperature_K, subcooling_K, dischargeTemperature_K } =
    conditions;
  const low = errors['suction-pressure'];
  const high = errors['discharge-pressure'];
  const liquid = errors['liquid-temperature'];
  const evaporating =
    low && evaporatingTemperature_K !== null
      ? dewWithout(refrigerant, evaporatingTemperature_K, low.bias)
      : evaporatingTemperature_K;
  const condensing =
    high && condensingTemperature_K !== null
      ? dewWithout(refrigerant, condensingTemperature_K, high.bias)
      : condensingTemperature_K;
  const condensingMove = condensing !== null ? condensing - condensingTemperature_K! : 0;
  const discharge = errors['discharge-temperature'];
  return {
    ...conditions,
    evaporatingTemperature_K: evaporating,
    condensingTemperature_K: condensing,
    // The bubble temperature moves as the dew temperature does, but for the change of the glide.
    subcooling_K: subcooling_K === null ? null : subcooling_K + condensingMove + (liquid?.bias ?? 0),
    dischargeTemperature_K:
      dischargeTemperature_K === null ? null : dischargeTemperature_K - (discharge?.bias ?? 0),
  };
}

function superheatCorrection(
  read: RunningConditions,
  right: RunningConditions,
  refrigerant: string,
  circuit: CircuitEntry,
  errors: SensorErrors,
): SuperheatCorrection | null {
  const pressure = errors['suction-pressure'];
  const temperature = errors['suction-temperature'];
  if (!pressure && !temperature) return null;
  if (read.evaporatingTemperature_K === null || right.evaporatingTemperature_K === null) return null;
  const at_K = right.evaporatingTemperature_K;
  const slope_K_Pa = saturationSlope_K_Pa(refrigerant, saturationPressure(refrigerant, at_K, 'dew'), 'dew');
  const levelKnown = (error: SensorError | undefined): error is SensorError =>
    error !== undefined && (error.bias !== 0 || error.uncertainty > 0);
  const pressure_Pa = levelKnown(pressure)
    ? pressure.uncertainty
    : circuit.suctionPressure.tolerance / Math.sqrt(3);
  const temperature_K = levelKnown(temperature)
    ? temperature.uncertainty
    : circuit.suctionTemperature.tolerance / Math.sqrt(3);
  return {
    bias_K: (temperature?.bias ?? 0) - (read.evaporatingTemperature_K - right.evaporatingTemperature_K),
    uncertainty_K: Math.hypot(slope_K_Pa * pressure_Pa, temperature_K),
    noise_K: Math.hypot(slope_K_Pa * (pressure?.noise ?? 0), temperature?.noise ?? 0),
  };
}

/**
 * How superheat was held, without bias and noise of the measurement.
 *
 * Noise widens the spread of what is read: var(read) = var(true) + noise^2, both independent. The values read are drawn
 * towards their mean until their variance is that of the true ones, which keeps the shape of the distribution: the
 * method of the National Research Council 1986 for fractions under a limit (PUBLISHED, described in Institute of
 * Medicine 2000, Dietary Reference Intakes: Applications in Dietary Assessment, p. 97).
 */
export function corrected(held: Steadiness, correction: SuperheatCorrection): Steadiness {
  const { bias_K, uncertainty_K, noise_K } = correction;
  const fractionUnder = superheatDistribution(held);
  const shrink = Math.sqrt(Math.max(0, 1 - (noise_K / Math.max(held.spread_K, 1e-9)) ** 2));
  const right = (read_K: number): number => held.mean_K + shrink * (read_K - held.mean_K) - bias_K;
  const under = (limit_K: number): number => {
    const off_K = limit_K + bias_K - held.mean_K;
    if (noise_K === 0 && bias_K === 0) return fractionUnder(limit_K);
    return shrink > 1e-3 ? fractionUnder(held.mean_K + off_K / shrink) : off_K > 0 ? 1 : 0;
  };
  const limit_K = held.floodbackLimit_K;
  return {
    ...held,
    mean_K: held.mean_K - bias_K,
    median_K: right(held.median_K),
    spread_K: shrink * held.spread_K,
    robustSpread_K: Math.sqrt(Math.max(0, held.robustSpread_K ** 2 - noise_K ** 2)),
    minimum_K: right(held.minimum_K),
    percentile1_K: right(held.percentile1_K),
    percentile5_K: right(held.percentile5_K),
    percentile95_K: right(held.percentile95_K),
    uncertainty_K,
    underLimitFraction: under(limit_K),
    surelyUnderLimitFraction: under(limit_K - 2 * uncertainty_K),
    possiblyUnderLimitFraction: under(limit_K + 2 * uncertainty_K),
    starvedFraction: 1 - under(held.starvedLimit_K),
    offset_K: held.offset_K === null ? null : held.offset_K - bias_K,
  };
}
