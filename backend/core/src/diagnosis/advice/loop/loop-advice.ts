import { median } from '../../../numerics/index.js';
import { quantity, statement } from '../../statement.js';
import type { Advice, AdvisedFigure } from '../advice.js';
import { identifyLoop, type IdentifiedLoop, type SwingRecord } from './identify-loop.js';
import { marginalLoop, type LoopControl } from './loop-model.js';
import { steadyGainOf, steadyTuning } from './tuning-rule.js';

/** Over this ratio of its ends a range says nothing that could be set; the integral time matters less than the gain. */
const widest = { gain: 4, integralTime: 6 };
/**
 * Today's gain over that at which the identified loop just swings on: a loop that hunts by itself has at least one, or noise
 * keeps a nearly unstable one going. Far under it, something else makes it swing.
 */
const leastOverMarginal = 0.65;

/** A change of the integral time by less than this is none. */
const leastChange = 1.2;

/** What a swing says: today's tuning, the steady one, and how far the latter may be off, as logarithms of a factor. */
export interface SwingingLoop {
  loop: IdentifiedLoop;
  steady: LoopControl;
  gainOff: number;
  timeOff: number;
}

/** The loops that swing by themselves, by what was identified in each swing. */
export const swingingLoops = (records: readonly SwingRecord[]): SwingingLoop[] =>
  records.flatMap((record) => toldBy(record) ?? []);

/**
 * The fraction of today's gain and the multiple of today's integral time with which a loop that swings would be steady: the
 * loop as it was identified in each swing, and the calmest tuning of all is advised, as the valve's effect goes with the
 * load. The range is that over all models and controllers that the swings allow. Null where no loop could be identified, it
 * would not swing by what was identified, the range is too wide, or today's gain is no higher.
 */
export function loopAdvice(told: readonly SwingingLoop[]): Advice | null {
  if (told.length === 0) return null;
  const today: LoopControl = {
    gain_pct_K: median(told.map(({ loop }) => loop.control.best.gain_pct_K)),
    integralTime_s: median(told.map(({ loop }) => loop.control.best.integralTime_s)),
  };
  const calmest = told.reduce((one, other) =>
    other.steady.gain_pct_K < one.steady.gain_pct_K ? other : one,
  );
  const slowest = told.reduce((one, other) =>
    other.steady.integralTime_s > one.steady.integralTime_s ? other : one,
  );
  const gain = within(
    calmest.steady.gain_pct_K / today.gain_pct_K,
    Math.hypot(
      calmest.gainOff,
      scatterOf(told.map(({ steady, loop }) => steady.gain_pct_K / loop.control.best.gain_pct_K)),
    ),
    'share',
  );
  const integralTime = within(
    slowest.steady.integralTime_s / today.integralTime_s,
    Math.hypot(
      slowest.timeOff,
      scatterOf(told.map(({ steady, loop }) => steady.integralTime_s / loop.control.best.integralTime_s)),
    ),
    'times',
  );
  if (gain.value >= 1 || gain.high > widest.gain * gain.low) return null;
  if (integralTime.high > widest.integralTime * integralTime.low) return null;
  return adviceOf(calmest.loop, { ...gain, high: Math.min(1, gain.high) }, integralTime);
}

/**
 * The fraction of today's gain, of controller and valve together, with which the loops that swing would all be steady, the integral time being left
 * as it is. Null where no loop was identified, or the range is too wide.
 */
export function steadyShare(told: readonly SwingingLoop[]): AdvisedFigure | null {
  const shares = told.map(({ loop }) => {
    const { best: today } = loop.control;
    const gain = steadyGainOf(loop.best, today.integralTime_s);
    return gain === null ? NaN : gain / today.gain_pct_K;
  });
  if (shares.length === 0 || !shares.every(Number.isFinite)) return null;
  const lowest = Math.min(...shares);
  const off = told[shares.indexOf(lowest)].gainOff;
  const share = within(lowest, Math.hypot(off, scatterOf(shares)), 'share');
  return share.high > widest.gain * share.low ? null : share;
}

function toldBy(record: SwingRecord): SwingingLoop | null {
  const loop = identifyLoop(record);
  if (loop === null) return null;
  const { best: today, others } = loop.control;
  const marginal = marginalLoop(loop.best, today.integralTime_s);
  const steady = steadyTuning(loop.best, today);
  if (marginal === null || steady === null) return null;
  if (today.gain_pct_K < leastOverMarginal * marginal.gain_pct_K) return null;
  const ways = loop.spread.map(([one, other]) => [steadyTuning(one, today), steadyTuning(other, today)]);
  const off = (value: (tuning: LoopControl) => number) =>
    Math.hypot(
      ...ways.map(([one, other]) =>
        one === null || other === null ? 0 : Math.log(value(one) / value(other)) / 2,
      ),
      ...(others.length === 0
        ? []
        : [Math.max(...others.map((other) => Math.abs(Math.log(value(other) / value(today)))))]),
    );
  return {
    loop,
    steady,
    gainOff: off(({ gain_pct_K }) => gain_pct_K),
    timeOff: off(({ integralTime_s }) => integralTime_s),
  };
}

/** Half of the way from the lowest to the highest of the swings, as the logarithm of a factor. */
function scatterOf(factors: readonly number[]): number {
  const all = factors.map(Math.log);
  return (Math.max(...all) - Math.min(...all)) / 2;
}

const within = (value: number, off: number, unit: AdvisedFigure['unit']): AdvisedFigure => ({
  value,
  low: value * Math.exp(-off),
  high: value * Math.exp(off),
  unit,
});

const adviceOf = (
  { best, spread }: IdentifiedLoop,
  gain: AdvisedFigure,
  integralTime: AdvisedFigure,
): Advice => ({
  change: 'loop-gain',
  sentence: statement(
    integralTime.value < leastChange
      ? 'With {share} of today’s gain ({low} to {high}) and its integral time as it is, the superheat loop would be steady.'
      : 'With {share} of today’s gain ({low} to {high}) and {times} times today’s integral time ({least} to {most}), the superheat loop would be steady.',
    {
      share: quantity('share', gain.value),
      low: quantity('share', gain.low),
      high: quantity('share', gain.high),
      ...(integralTime.value < leastChange
        ? {}
        : {
            times: quantity('ratio', integralTime.value),
            least: quantity('ratio', integralTime.low),
            most: quantity('ratio', integralTime.high),
          }),
    },
  ),
  basis: statement(
    'From the swing itself: superheat follows the opening with a dead time of {dead} and lags of {lag} and {thermometer}; integral time by Ziegler and Nichols, gain lowered to the robustness of Skogestad’s rule (SIMC, highest sensitivity 1.59). To be changed by authorised staff only.',
    {
      dead: quantity('duration', best.deadTime_s),
      lag: quantity('duration', best.lag_s),
      thermometer: quantity('duration', best.thermometerLag_s),
    },
  ),
  figures: {
    gain,
    integralTime,
    lag: rangeOf(
      best.lag_s,
      spread.flat().map(({ lag_s }) => lag_s),
    ),
    deadTime: rangeOf(
      best.deadTime_s,
      spread.flat().map(({ deadTime_s }) => deadTime_s),
    ),
  },
});

const rangeOf = (value: number, all: readonly number[]): AdvisedFigure => ({
  value,
  low: Math.min(value, ...all),
  high: Math.max(value, ...all),
  unit: 's',
});
