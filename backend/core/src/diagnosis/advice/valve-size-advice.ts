import { liquidDensity, valueOrNaN } from '../../refrigerants/index.js';
import { fitLinear } from '../../numerics/index.js';
import type { Machine } from '../../normal/quantities/machine.js';
import { virtualSensors } from '../../normal/quantities/virtual-sensors.js';
import { channelValues, waterHeat_W } from '../../normal/quantities/quantities.js';
import type { Plateau } from '../../normal/plateaus/find-plateaus.js';
import { quantity, statement } from '../statement.js';
import type { Advice, AdvisedFigure } from './advice.js';
import { steadyShare, type SwingingLoop } from './loop/loop-advice.js';

/** A plateau's load and the Kv that its valve needed to pass the flow, with its standard uncertainty as a share. */
export interface NeededKv {
  load: number;
  kv_m3_h: number;
  uncertainty: number;
  /** The valve had no room left: it passed what it could, not what was needed. */
  atLimit: boolean;
}

/** Of the flow by its opening: valves are linear within about that, and their Kv is a data sheet's. */
const byOpening = 0.15;
const leastPlateaus = 6;
const nearlyOpen_pct = 97;

/**
 * The Kv that a plateau needs, by IEC 60534: Kv = 3600 m / sqrt(1000 rho dp), dp in bar, with the refrigerant's flow by the
 * water side or the compressor where that is known, else by the opening of the valve that is fitted. NaN where neither is.
 * Of liquid that flashes, and after a loss of pressure in the line, a Kv passes less than the equation has: where the fitted
 * valve stands further open than that, its opening is what was needed.
 */
export function neededKv(machine: Machine, plateau: Plateau): NeededKv {
  const at = channelValues(plateau.values);
  const { refrigerantFlowByWater_kg_s: water, refrigerantFlowByCompressor_kg_s: compressor } = virtualSensors(
    machine,
    plateau,
  );
  const flow = water ?? compressor;
  const density = valueOrNaN(() => liquidDensity(machine.refrigerant, at.liquidTemperature_K));
  const bar = (at.dischargePressure_Pa - at.suctionPressure_Pa) / 1e5;
  const byFlow = flow === undefined ? NaN : (3600 * flow.value) / Math.sqrt(1000 * density * bar);
  const opened = (machine.valve.motors * machine.valve.kv_m3_h * at.valveOpening_pct) / 100;
  const fromFlow = byFlow > 0 && !(opened > byFlow);
  return {
    load: [machine.alone ? waterHeat_W(at) : NaN, at.compressorLoad_pct, at.compressorPower_W].find(
      Number.isFinite,
    )!,
    kv_m3_h: fromFlow ? byFlow : opened > 0 ? opened : NaN,
    uncertainty: fromFlow ? Math.hypot(flow!.uncertainty / flow!.value, 0.03) : byOpening,
    atLimit: at.valveOpening_pct >= nearlyOpen_pct,
  };
}

/**
 * The Kv needed at the highest and at the lowest load seen: a straight line of the Kv over the load through the plateaus on
 * which the valve had room, read at both ends. The uncertainty of the way is the same on all plateaus and does not fall with
 * their number. Where the loop swings by itself, also the Kv up to which it would be steady with the controller's settings of today: a
 * size that is sold may be larger. Null under six plateaus, without a load, or where the range of 19 in 20 is wider than a factor of two.
 * @param loops those identified in the swings of the circuit
 */
export function valveSizeAdvice(
  machine: Machine,
  plateaus: readonly Plateau[],
  loops: () => readonly SwingingLoop[],
): Advice | null {
  const all = plateaus
    .map((plateau) => neededKv(machine, plateau))
    .filter(({ load }) => Number.isFinite(load));
  const free = all.filter(({ kv_m3_h, atLimit }) => Number.isFinite(kv_m3_h) && !atLimit);
  if (free.length < leastPlateaus || !(machine.valve.kv_m3_h > 0)) return null;
  const loads = all.map(({ load }) => load);
  const [lowest, highest] = [Math.min(...loads), Math.max(...loads)];
  const fit = fitLinear(
    [new Float64Array(free.length).fill(1), Float64Array.from(free, ({ load }) => load / highest)],
    Float64Array.from(free, ({ kv_m3_h }) => kv_m3_h),
  );
  if (fit === null || !(fit.residualVariance >= 0)) return null;
  const way = free.reduce((sum, { uncertainty }) => sum + uncertainty, 0) / free.length;
  const at = (load: number) => {
    const x = load / highest;
    const value = fit.coefficients[0] + fit.coefficients[1] * x;
    const line = fit.residualVariance * (fit.inverse[0] + 2 * x * fit.inverse[1] + x * x * fit.inverse[3]);
    const half = 2 * Math.hypot(Math.sqrt(Math.max(0, line)), way * value);
    return { value, low: value - half, high: value + half, unit: 'm3/h' as const };
  };
  const [most, least] = [at(highest), at(lowest)];
  if (!(least.low > 0 && most.high <= 2 * most.low)) return null;
  const fitted = machine.valve.motors * machine.valve.kv_m3_h;
  const steady = steadyUpTo(fitted, loops());
  return {
    change: 'valve-size',
    sentence: statement(steady === null ? sizes : `${sizes} ${settings}`, {
      most: quantity('flow-coefficient', most.value, (most.value - most.low) / 2),
      least: quantity('flow-coefficient', least.value, (least.value - least.low) / 2),
      fitted: quantity('flow-coefficient', fitted),
      ...(steady === null
        ? {}
        : {
            steady: quantity('flow-coefficient', steady.value),
            from: quantity('flow-coefficient', steady.low),
            to: quantity('flow-coefficient', steady.high),
          }),
    }),
    basis: statement(steady === null ? byFlowLaw : `${byFlowLaw} ${bySwing}`, {
      plateaus: quantity('count', free.length),
    }),
    figures: { highestLoad: most, lowestLoad: least, ...(steady === null ? {} : { steadyUpTo: steady }) },
  };
}

const sizes =
  'The valve needs a flow coefficient of {most} at the highest load seen and of {least} at the lowest; fitted is {fitted}.';
const settings =
  'With the controller’s settings of today the superheat loop would be steady up to a flow coefficient of {steady}, with a range of {from} to {to}; with a larger valve the gain has to be lowered in proportion.';
const byFlowLaw =
  'By IEC 60534 for liquid that does not flash before the valve, from {plateaus} plateaus; a loss of pressure before the valve asks for more.';
const bySwing =
  'The loop is identified in its own swing; its gain goes with the flow coefficient of a linear valve. Settings are to be changed by authorised staff only.';

/**
 * The Kv up to which the loop is steady with the controller's settings of today: one percent of opening lets through so much more as
 * the Kv is larger, and the gain of the loop goes with that.
 */
function steadyUpTo(fitted_m3_h: number, loops: readonly SwingingLoop[]): AdvisedFigure | null {
  const share = steadyShare(loops);
  if (share === null) return null;
  const value = fitted_m3_h * share.value;
  const off = Math.hypot(Math.log(share.high / share.value), 2 * byOpening);
  return { value, low: value * Math.exp(-off), high: value * Math.exp(off), unit: 'm3/h' };
}
