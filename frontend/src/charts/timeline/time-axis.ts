import { clockWords } from '../../quantities/site-time.js';
import { timeTicks } from '../evidence/scales.js';

/** Room that the words of a mark take with some space, px. */
const room = 90;
const day_ms = 86_400_000;

const words = (clock_ms: number, step_ms: number): string => {
  if (clock_ms % day_ms === 0) return clockWords(clock_ms, 'short-day');
  return clockWords(clock_ms, step_ms < 60_000 ? 'second-of-day' : 'time');
};

/** Marks of a time axis: how far along it, as a fraction, and the clock's words; `from` and `to` by the clock, ms. */
export function timeMarks(from: number, to: number, width: number): { along: number; words: string }[] {
  const ticks = timeTicks(from, to, Math.max(2, Math.floor(width / room)));
  const step_ms = ticks.length > 1 ? ticks[1] - ticks[0] : to - from;
  return ticks.map((at) => ({ along: (at - from) / (to - from), words: words(at, step_ms) }));
}
