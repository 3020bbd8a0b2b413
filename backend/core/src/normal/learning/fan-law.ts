import { fitLinear, mean } from '../../numerics/index.js';
import type { Machine } from '../quantities/machine.js';
import { condensing_K, type ChannelValues } from '../quantities/quantities.js';
import { fullFans_pct } from '../quantities/fans.js';

/** Fans slower than this stand at their least speed. */
const leastFans_pct = 15;
const leastPlateaus = 8;
/** A law that leaves more than this share of the speed's variance is none. Judgement, no source. */
const mostLeft = 0.3;

/**
 * By how many per cent fans turn faster for each kelvin of condensing, as a controller with a proportional band has it, from the plateaus
 * on which they were held back. Null where they do not follow the condensing temperature by a straight line: a controller with an
 * integral part holds it, and stages or a speed that is set by hand follow something else.
 */
export function fansPerKelvin(machine: Machine, at: readonly ChannelValues[]): number | null {
  if (machine.condenser !== 'air') return null;
  const held = at
    .map((one) => ({
      fan: one.condenserFanSpeed_pct,
      condensing: condensing_K(machine, one.dischargePressure_Pa),
    }))
    .filter(
      ({ fan, condensing }) => fan > leastFans_pct && fan < fullFans_pct && Number.isFinite(condensing),
    );
  if (held.length < leastPlateaus) return null;
  const speeds = Float64Array.from(held, ({ fan }) => fan);
  const condensing = Float64Array.from(held, (one) => one.condensing);
  const middle = mean(condensing);
  const usual = mean(speeds);
  const variance = mean(speeds.map((speed) => (speed - usual) ** 2));
  const fit = fitLinear(
    [new Float64Array(held.length).fill(1), condensing.map((value) => value - middle)],
    speeds,
  );
  if (fit === null || !(fit.residualVariance <= mostLeft * variance)) return null;
  const slope = fit.coefficients[1];
  return slope > 0 ? slope : null;
}
