import { medianInPlace } from '@coldrounds/core';
import { quantile } from './quantiles.js';

/** One member's value by step of age, all above zero. */
export type MemberCurve = ReadonlyMap<number, number>;

/** A stretch of the curve; between two stretches no member was seen on both sides. */
export interface MatchedStretch {
  /** Steps of age, ascending. */
  steps: number[];
  middle: number[];
  /** Where the first and the ninth tenth of its members lie, each against the same curve. */
  low: number[];
  high: number[];
}

const median = (values: number[]): number => medianInPlace(Float64Array.from(values));

/**
 * How members change with age, each compared with itself alone: from one step to the next the curve moves by the median
 * of the relative changes of those seen at both, so that who comes or leaves moves nothing (the matched-model method of
 * price indices, chained). Where no member was seen at both the curve ends, and a new stretch begins. The level of a
 * stretch is the median of its members' own distances from it.
 *
 * @example matchedCurve([new Map([[0, 1], [1, 0.9]]), new Map([[1, 0.5], [2, 0.45]])])[0] // falls by a tenth, twice
 */
export function matchedCurve(members: readonly MemberCurve[]): MatchedStretch[] {
  const steps = [...new Set(members.flatMap((member) => [...member.keys()]))].sort((a, b) => a - b);
  const stretches: { steps: number[]; log: number[] }[] = [];
  for (const [index, step] of steps.entries()) {
    const changes = members.flatMap((member) => {
      const [before, now] = [member.get(steps[index - 1]), member.get(step)];
      return before === undefined || now === undefined ? [] : [Math.log(now / before)];
    });
    const last = stretches.at(-1);
    if (changes.length === 0 || last === undefined) stretches.push({ steps: [step], log: [0] });
    else {
      last.steps.push(step);
      last.log.push(last.log.at(-1)! + median(changes));
    }
  }
  return stretches.map(({ steps: own, log }) => {
    const distances = members.flatMap((member) => {
      const seen = own.flatMap((step, place) => {
        const value = member.get(step);
        return value === undefined ? [] : [Math.log(value) - log[place]];
      });
      return seen.length === 0 ? [] : [median(seen)];
    });
    const at = (share: number) => log.map((value) => Math.exp(value + quantile(distances, share)!));
    return { steps: own, middle: at(0.5), low: at(0.1), high: at(0.9) };
  });
}
