import { nice, ticks } from 'd3-array';

/** From a value to its place, and the round values at which the axis is marked. */
export interface Scale {
  place: (value: number) => number;
  ticks: (count: number) => number[];
}

const placing =
  ([low, high]: [number, number], [from, to]: [number, number]) =>
  (value: number): number =>
    from + ((value - low) / (high - low)) * (to - from);

/** A straight scale; with `niceFor` its ends are widened to round values for so many marks. */
export function linearScale(domain: [number, number], range: [number, number], niceFor?: number): Scale {
  const ends = niceFor === undefined ? domain : nice(domain[0], domain[1], niceFor);
  return { place: placing(ends, range), ticks: (count) => ticks(ends[0], ends[1], count) };
}

const second = 1_000;
const minute = 60 * second;
const hour = 60 * minute;
const day = 24 * hour;
/** Steps between marks of a time axis, ms, as clocks and calendars have them; from a month on in months. */
const steps = [
  ...[1, 5, 15, 30].map((n) => n * second),
  ...[1, 5, 15, 30].map((n) => n * minute),
  ...[1, 3, 6, 12].map((n) => n * hour),
  ...[1, 2, 7].map((n) => n * day),
];
const monthSteps = [1, 3, 12];
const month = 30 * day;

/** Marks of a time axis whose times are written as if the clock were UTC: about `count` of them. */
export function timeTicks(from: number, to: number, count: number): number[] {
  const wanted = (to - from) / count;
  // The step whose ratio to what is wanted is the smaller, up or down.
  const nearest = (sizes: readonly number[]) =>
    sizes.reduce((best, size) =>
      Math.abs(Math.log(size / wanted)) < Math.abs(Math.log(best / wanted)) ? size : best,
    );
  const size = nearest([...steps, ...monthSteps.map((n) => n * month)]);
  if (size < month) {
    const first = Math.ceil(from / size) * size;
    const places = Math.floor((to - first) / size) + 1;
    return Array.from({ length: Math.max(0, places) }, (_, index) => first + index * size);
  }
  const months = Math.round(size / month);
  const begin = new Date(from);
  const found: number[] = [];
  for (let at = begin.getUTCFullYear() * 12 + begin.getUTCMonth(); ; at++) {
    const time = Date.UTC(Math.floor(at / 12), at % 12, 1);
    if (time > to) return found;
    if (time >= from && at % months === 0) found.push(time);
  }
}

export function timeScale(domain: [number, number], range: [number, number]): Scale {
  return { place: placing(domain, range), ticks: (count) => timeTicks(domain[0], domain[1], count) };
}
