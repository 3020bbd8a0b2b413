import { saturationCurve, saturationSlope_K_Pa } from '../../refrigerants/index.js';
import { mean, median } from '../../numerics/index.js';
import { OutOfRangeError } from '../../units/index.js';
import type { ShortStop } from './short-stops.js';

/** What the pressure is taken for: a refrigerant, and pascals added to it. */
export interface PressureReading {
  refrigerant: string;
  added_Pa: number;
  /** Half-width of the transducer's tolerance, Pa. */
  tolerance_Pa: number;
}

/** By how much saturation lies above the water temperature once it has settled. */
export interface WaterOffset {
  offset_K: number;
  /** Standard uncertainty, systematic part included, K. */
  uncertainty_K: number;
  stops: number;
  /** Time constant with which the evaporator follows its water, s; null where there was no stop. */
  lag_s: number | null;
}

/** Time constants of an evaporator with liquid in it that are tried, s: from a plate exchanger to a large shell. */
const lags_s = [20, 30, 45, 65, 90, 130, 180, 250, 350, 500, 700];
/** Added, as a root sum of squares, to the scatter of a fit: none is taken as better than this, K. */
const leastScatter_K = 0.07;
/** Neighbouring samples repeat each other: so many count as one. Judgement, no source. */
const samplesPerIndependent = 3;
/** Standard deviations of the offset from stop to stop that are tried, K: from stops alike to stops that contradict each other. */
const spreads_K = [0, 0.1, 0.2, 0.5, 1, 2, 4];
/** Half-width of the water sensor's tolerance, and the standard uncertainty of water and shell being alike, K. */
const waterTolerance_K = 0.5;
const place_K = 0.3;

/**
 * Saturation temperature against the water of the evaporator after stops of some minutes.
 *
 * Once the compressor stands, the liquid left in the evaporator boils until its temperature is that of the water: a lag
 * of first order, dT/dt = (T_water - T) / tau (energy balance of a well-mixed body). So what is read as saturation is
 * the lagged water temperature plus c + A exp(-t / tau), with one tau and one offset c for the machine and one A for
 * each stop. c and A by least squares at each of a row of tau, which are weighed by their likelihood. Stops may differ
 * in c by a normal deviate of their own (random effects, Laird & Ware 1982, Biometrics 38:963), of several standard
 * deviations: with one c for all, stops that contradict each other are fitted best by a tau in which no offset can be
 * told, and c runs away. The uncertainty joins the fit, the spread over tau and over the stops, and the sensors
 * (JCGM 100:2008). A blend's liquid and vapour
 * lie between bubble and dew point, of which the middle is taken and the glide over root 12 as uncertainty.
 *
 * Null without a stop, or where the pressure leaves the table. The offset of a sound transducer and the right refrigerant
 * is 0 within its uncertainty.
 */
export function offsetAfterStops(stops: readonly ShortStop[], reading: PressureReading): WaterOffset | null {
  if (stops.length === 0) return null;
  const saturation = stops.map((stop) => saturationOf(stop, reading));
  if (saturation.some((values) => !values.every(Number.isFinite))) return null;
  const fits = lags_s.map((lag_s) => fitAtLag(stops, saturation, lag_s)).filter((fit) => fit !== null);
  if (fits.length === 0) return null;
  const best = Math.max(...fits.map(({ logLikelihood }) => logLikelihood));
  const weights = fits.map(({ logLikelihood }) => Math.exp(logLikelihood - best));
  const total = weights.reduce((sum, weight) => sum + weight, 0);
  const over = (value: (fit: LagFit) => number) =>
    fits.reduce((sum, fit, k) => sum + weights[k] * value(fit), 0) / total;
  const offset_K = over((fit) => fit.offset_K);
  const within = over((fit) => fit.variance_K2);
  const between = over((fit) => (fit.offset_K - offset_K) ** 2);
  return {
    offset_K,
    uncertainty_K: Math.hypot(
      Math.sqrt(within + between),
      systematic(reading, median(stops.map((stop) => stop.suctionPressure_Pa[stop.at_s.length - 1]))),
    ),
    stops: stops.length,
    lag_s: Math.exp(over((fit) => Math.log(fit.lag_s))),
  };
}

/** What stays of the uncertainty however long one looks, K: transducer, water sensor, place, and a blend's glide. */
export function systematic(
  { refrigerant, added_Pa, tolerance_Pa }: PressureReading,
  pressure_Pa: number,
): number {
  try {
    const right_Pa = pressure_Pa + added_Pa;
    const slope = saturationSlope_K_Pa(refrigerant, right_Pa, 'dew');
    const glide =
      saturationCurve(refrigerant, 'dew').temperature(right_Pa) -
      saturationCurve(refrigerant, 'bubble').temperature(right_Pa);
    const root3 = Math.sqrt(3);
    return Math.hypot(
      (slope * tolerance_Pa) / root3,
      waterTolerance_K / root3,
      place_K,
      (Number.isFinite(glide) ? glide : 0) / Math.sqrt(12),
    );
  } catch (error) {
    if (error instanceof OutOfRangeError) return Infinity;
    throw error;
  }
}

/** Middle of bubble and dew temperature at a pressure, as a function that answers NaN outside the table. */
export function middleSaturation({
  refrigerant,
  added_Pa,
}: PressureReading): (pressure_Pa: number) => number {
  const dew = saturationCurve(refrigerant, 'dew').temperature;
  const bubble = saturationCurve(refrigerant, 'bubble').temperature;
  return (pressure_Pa) => (dew(pressure_Pa + added_Pa) + bubble(pressure_Pa + added_Pa)) / 2;
}

const saturationOf = (stop: ShortStop, reading: PressureReading): Float64Array =>
  stop.suctionPressure_Pa.map(middleSaturation(reading));

interface LagFit {
  lag_s: number;
  offset_K: number;
  variance_K2: number;
  logLikelihood: number;
}

/** Offset of the machine at one time constant, each stop's own start taken out by projection; averaged over the spreads. */
function fitAtLag(
  stops: readonly ShortStop[],
  saturation: readonly Float64Array[],
  lag_s: number,
): LagFit | null {
  const parts = stops
    .map((stop, k) => reducedStop(stop, saturation[k], lag_s))
    .filter(({ ones }) => ones > 1e-9);
  if (parts.length === 0) return null;
  const weight = parts.reduce((sum, { ones }) => sum + ones, 0);
  const fits = (parts.length > 1 ? spreads_K : [0]).map((spread_K) => fitWithSpread(parts, spread_K));
  const best = Math.max(...fits.map(({ logLikelihood }) => logLikelihood));
  const chances = fits.map(({ logLikelihood }) => Math.exp(logLikelihood - best));
  const total = chances.reduce((sum, chance) => sum + chance, 0);
  const over = (value: (fit: SpreadFit) => number) =>
    fits.reduce((sum, fit, k) => sum + chances[k] * value(fit), 0) / total;
  const own = parts.filter(({ ones }) => ones > 0.05 * weight).map(({ offset_K }) => offset_K);
  const centre = mean(own);
  const scatter =
    own.length > 1
      ? own.reduce((sum, value) => sum + (value - centre) ** 2, 0) / (own.length - 1) / own.length
      : 0;
  return {
    lag_s,
    offset_K: over((fit) => fit.offset_K),
    variance_K2: (over((fit) => fit.noise_K2) * samplesPerIndependent) / weight + scatter,
    logLikelihood: best + Math.log(total / fits.length),
  };
}

interface SpreadFit {
  offset_K: number;
  /** Variance of a sample about its stop. */
  noise_K2: number;
  logLikelihood: number;
}

/**
 * Offset of the machine where those of the stops differ with a given standard deviation: mean of the stops' offsets,
 * weighted by one over own variance and spread; each stop's is drawn to it, and the noise is what is left.
 */
function fitWithSpread(parts: readonly ReducedStop[], spread_K: number): SpreadFit {
  const samples = parts.reduce((sum, part) => sum + part.samples, 0);
  const inside = parts.reduce((sum, part) => sum + part.squares, 0);
  const spread = spread_K ** 2;
  let noise = inside / samples + leastScatter_K ** 2;
  let offset_K = 0;
  let penalty = 0;
  for (let round = 0; round < 6; round++) {
    const own = parts.map(({ ones }) => (noise * samplesPerIndependent) / ones);
    const weights = own.map((variance) => 1 / (variance + spread));
    const total = weights.reduce((sum, weight) => sum + weight, 0);
    offset_K = parts.reduce((sum, part, k) => sum + weights[k] * part.offset_K, 0) / total;
    let squares = inside;
    penalty = 0;
    parts.forEach((part, k) => {
      const apart = part.offset_K - offset_K;
      squares += part.ones * (apart * own[k] * weights[k]) ** 2;
      penalty += Math.log(weights[k] * own[k]) / 2 - (spread * (apart * weights[k]) ** 2) / 2;
    });
    noise = squares / samples + leastScatter_K ** 2;
  }
  const independent = samples / samplesPerIndependent;
  return { offset_K, noise_K2: noise, logLikelihood: penalty - 0.5 * independent * Math.log(noise) };
}

interface ReducedStop {
  samples: number;
  /** Offset of this stop alone, and the sum of squares that is left with it. */
  offset_K: number;
  squares: number;
  /** How much the stop tells about its offset: sum of squares of what is left of ones. */
  ones: number;
}

/** Of one stop: reading less lagged water, its offset by least squares with exp(-t / tau) projected out. */
function reducedStop(stop: ShortStop, saturation_K: Float64Array, lag_s: number): ReducedStop {
  const n = stop.at_s.length;
  const decay = stop.at_s.map((at_s) => Math.exp(-at_s / lag_s));
  const value = new Float64Array(n);
  let lagged_K = stop.waterTemperature_K[0];
  for (let i = 0; i < n; i++) {
    const step_s = stop.at_s[i] - (i > 0 ? stop.at_s[i - 1] : stop.at_s[0]);
    lagged_K += (stop.waterTemperature_K[i] - lagged_K) * -Math.expm1(-step_s / lag_s);
    value[i] = saturation_K[i] - lagged_K;
  }
  let dd = 0;
  let d1 = 0;
  let dv = 0;
  for (let i = 0; i < n; i++) {
    dd += decay[i] * decay[i];
    d1 += decay[i];
    dv += decay[i] * value[i];
  }
  const rest = value.map((v, i) => v - (dv / dd) * decay[i]);
  const onesRest = decay.map((d) => 1 - (d1 / dd) * d);
  let ones = 0;
  let product = 0;
  for (let i = 0; i < n; i++) {
    ones += onesRest[i] * onesRest[i];
    product += onesRest[i] * rest[i];
  }
  const offset_K = ones > 0 ? product / ones : NaN;
  const squares = rest.reduce((sum, value, i) => sum + (value - offset_K * onesRest[i]) ** 2, 0);
  return { samples: n, offset_K, squares, ones };
}
