import { runningSamples } from '../../modes/running.js';
import { window_s } from '../../steadiness/windows/window-judgement.js';
import type { CircuitSeries } from '../../telemetry/circuit-series.js';
import type { Finding } from '../finding.js';
import { quantity, statement } from '../statement.js';
import { swappedFinding } from '../swapped-finding.js';
import {
  meanCorrelation,
  valveAnswers,
  type Answer,
  type Correlation,
  type ValveAnswers,
} from './valve-answers.js';

const mean_s = 120;
/** One window in each so long, and no more than the newest few of them: that tells of two days, at little cost. */
const span_s = 12 * 3600;
const mostWindows = 5;
/** In a window that tells, all circuits run but for so many means of two minutes. */
const mostNotRunning = 3;

/**
 * Windows of two hours by which the valves are asked: the latest of each half day in which all circuits run throughout, the newest five. The same
 * windows come out when only the time from the first of them to the end of the last is looked at.
 * @param means two-minute means of the newest days
 */
export function windowsThatTell(means: readonly CircuitSeries[], refrigerant: string): number[] {
  const running = means.map((series) => {
    const runs = runningSamples(series, refrigerant);
    const counts = new Map<number, number>();
    series.time_s.forEach((time, k) => {
      const start_s = Math.floor(time / window_s) * window_s;
      if (runs[k] === 1) counts.set(start_s, (counts.get(start_s) ?? 0) + 1);
    });
    return counts;
  });
  const latest = new Map<number, number>();
  for (const start_s of [...(running[0]?.keys() ?? [])].sort((a, b) => a - b))
    if (running.every((counts) => (counts.get(start_s) ?? 0) >= window_s / mean_s - mostNotRunning))
      latest.set(Math.floor(start_s / span_s), start_s);
  return [...latest.values()].slice(-mostWindows);
}

/** A circuit's sensors that can be told by the valves. */
interface Told {
  sensor: 'suction-pressure' | 'suction-temperature';
  answer: Answer;
  /** Which way the reading goes as the valve opens. */
  sign: 1 | -1;
  /**
   * After so long it shows best, s. An evaporator's pressure follows its valve within seconds to a minute or so: the valve's own
   * travel takes seconds, and what boils is drawn off with a time constant of some tens. Its outlet gets colder as the liquid
   * reaches further, a minute or two later, as a bulb on the pipe has a lag of its own (He, Liu & Asada 1997, J. Dyn. Syst. 119:183, from memory).
   */
  lags_s: readonly number[];
}

const told: readonly Told[] = [
  { sensor: 'suction-pressure', answer: 'suctionPressure_Pa', sign: 1, lags_s: [30, 60, 90] },
  { sensor: 'suction-temperature', answer: 'suctionTemperature_K', sign: -1, lags_s: [90, 150] },
];

const fewestWindows = 4;
/** From the first window to the last at least, s: wiring does not come and go. */
const least_s = 20 * 3600;
/** A swap is told where each of four means is so many standard errors from what says otherwise; the best of a few lags is taken. */
const sure = 4;
/** Correlation with the other circuit's reading under which nothing is told, however sure it is. Judgement, no source. */
const leastAnswer = 0.1;
/** Share of the windows that say the same each by itself. Judgement, no source. */
const agreeing = 0.8;

export interface CircuitSamples {
  circuit: number;
  /** Means of two minutes of the newest days. */
  series: CircuitSeries;
  /** As sent, at least over `windowsThatTell` of the unit; null: not read. */
  samples: CircuitSeries | null;
}

/**
 * Suction transducers or thermometers that are swapped between two circuits, by which of the two readings follows each valve.
 * It tells where two circuits always run and do the same, so that what they read is alike: a swap is said where the steps of both
 * valves, each by itself, move the reading that is registered on the other circuit and not the one on their own, over several
 * windows of more than a day. Where pressure and temperature both do, it may as well be the valves' openings that are registered
 * the wrong way round, and nothing is said; nor where valves hardly move, move in common, or samples are over 30 s apart; nor where a
 * reading goes with its own valve the wrong way round by more than the other circuit's goes the right way: in a swing as fast as
 * the lag it is the phase that tells the sign, and such a reading is no one that its valve does not move.
 * @throws UnknownRefrigerantError.
 */
export function swappedByValve(circuits: readonly CircuitSamples[], refrigerant: string): Finding[] {
  const starts = windowsThatTell(
    circuits.map(({ series }) => series),
    refrigerant,
  );
  const findings: Finding[] = [];
  for (let a = 0; a < circuits.length; a++)
    for (let b = a + 1; b < circuits.length; b++) {
      const swaps = told.flatMap((one) => swapOf(circuits[a], circuits[b], starts, one) ?? []);
      if (swaps.length !== 1) continue;
      const [swap] = swaps;
      [a, b].forEach((k, valve) =>
        findings.push(findingOf(swap, valve, circuits[k].circuit, circuits[a + b - k].circuit)),
      );
    }
  return findings;
}

interface Swap {
  sensor: Told['sensor'];
  lag_s: number;
  own: Correlation[];
  other: Correlation[];
  windows: number;
  from_s: number;
  to_s: number;
}

function swapOf(
  first: CircuitSamples,
  second: CircuitSamples,
  starts: readonly number[],
  one: Told,
): Swap | null {
  const { answer, lags_s, sign } = one;
  if (first.samples === null || second.samples === null) return null;
  const windows = starts.flatMap((start_s) => {
    const answers = valveAnswers(first.samples!, second.samples!, start_s, answer, lags_s);
    return answers === null ? [] : [{ start_s, answers }];
  });
  if (windows.length < fewestWindows) return null;
  const [from_s, to_s] = [windows[0].start_s, windows[windows.length - 1].start_s + window_s];
  if (to_s - from_s < least_s) return null;
  // The lag is chosen by how far the two readings differ, whichever way: neither answer is favoured by it.
  const byLag = windows[0].answers.flatMap(({ lag_s }) => {
    const of = windows.flatMap(({ answers }) => answers.find((at) => at.lag_s === lag_s) ?? []);
    return of.length < windows.length ? [] : [{ lag_s, of, apart: Math.abs(apartOf(of)) }];
  });
  if (byLag.length === 0) return null;
  const { lag_s, of } = byLag.reduce((best, at) => (at.apart > best.apart ? at : best));
  const both = (side: 'own' | 'other') =>
    [0, 1].map((valve) => meanCorrelation(of.map((at) => at[side][valve])));
  const [own, other] = [both('own'), both('other')];
  const swapped = [0, 1].every((valve) => {
    const [to, not] = [sign * other[valve].z, sign * own[valve].z];
    const error = 1 / Math.sqrt(other[valve].weight);
    return (
      to >= Math.atanh(leastAnswer) &&
      to >= sure * error &&
      to - not >= sure * Math.hypot(error, 1 / Math.sqrt(own[valve].weight)) &&
      not <= to / 2 &&
      -not <= to
    );
  });
  const same = of.filter((at) => sign * differenceOf(at) > 0).length;
  if (!swapped || same < agreeing * of.length) return null;
  return { sensor: one.sensor, lag_s, own, other, windows: of.length, from_s, to_s };
}

/** Of both valves together, the answer of the other circuit's reading less that of the own. */
const differenceOf = ({ own, other }: ValveAnswers): number => other[0].z + other[1].z - own[0].z - own[1].z;

/** The same over all windows, in standard errors. */
function apartOf(of: readonly ValveAnswers[]): number {
  const { z, weight } = meanCorrelation(
    of.map((at) => {
      const all = [...at.own, ...at.other];
      return { z: differenceOf(at), weight: 1 / all.reduce((sum, one) => sum + 1 / one.weight, 0) };
    }),
  );
  return z * Math.sqrt(weight);
}

const ratio = ({ z }: Correlation) => quantity('ratio', Math.round(100 * Math.tanh(z)) / 100);

const findingOf = (
  { sensor, lag_s, own, other, windows, from_s, to_s }: Swap,
  valve: number,
  circuit: number,
  swappedWith: number,
): Finding =>
  swappedFinding({
    ...{ sensor, circuit, swappedWith },
    shows: 'each valve moves the reading that is registered on the other circuit',
    because: statement(
      `{lag} after a step of the valve of circuit {valve}, the suction ${sensor === 'suction-pressure' ? 'pressure' : 'temperature'} registered on circuit {with} has moved (correlation {other}), and the one on its own circuit has not ({own}). Based on {windows} windows of two hours in which both ran.`,
      {
        lag: quantity('duration', lag_s),
        valve: quantity('count', circuit),
        with: quantity('count', swappedWith),
        other: ratio(other[valve]),
        own: ratio(own[valve]),
        windows: quantity('count', windows),
      },
    ),
    seen: { from_s, to_s },
    shownBy: 'valve-answers',
  });

/** Lags over which the answer is drawn, s. */
const drawn_s = Array.from({ length: 18 }, (_, k) => 10 * (k + 1));

/** Correlations of a valve's steps with what its own and the other circuit's sensor read a lag later, over some windows together. */
export interface AnswersOverLags {
  lag_s: number[];
  own: number[];
  other: number[];
}

/** What `swappedByValve` tells by, over all lags: of the valve of the first circuit. Null where no window tells. */
export function answersOf(
  own: CircuitSeries,
  other: CircuitSeries,
  starts: readonly number[],
  sensor: string,
): AnswersOverLags | null {
  const one = told.find((each) => each.sensor === sensor);
  if (one === undefined) return null;
  const windows = starts.flatMap((start_s) => valveAnswers(own, other, start_s, one.answer, drawn_s) ?? []);
  const lag_s = drawn_s.filter((lag) => windows.some((at) => at.lag_s === lag));
  const meansOf = (side: 'own' | 'other') =>
    lag_s.map((lag) =>
      Math.tanh(meanCorrelation(windows.filter((at) => at.lag_s === lag).map((at) => at[side][0])).z),
    );
  return lag_s.length === 0 ? null : { lag_s, own: meansOf('own'), other: meansOf('other') };
}
