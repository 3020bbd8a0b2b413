import type { PointReading } from '../quantities/operating-point.js';

/**
 * How the usual faults move the quantities, each as the linear form of the differences from normal that tells it best
 * from the machine's scatter (a matched filter). A slight fault moves several quantities a little, each with the load as
 * its physics has it: such a form sees it earlier than the largest single departure, and, by the difference between low
 * and high load, apart from an instrument that reads otherwise by the same at every load.
 */
export interface Signatures {
  /** Loads, as a place in the operating point, under which load counts as low and over which as high. */
  edges: [number, number];
  /** One form a fault: weights of the mean difference of each quantity, in the normal's order. */
  together: number[][];
  /** Likewise of the means at low, middle and high load, one after the other; empty where loads were too alike. */
  byLoad: number[][];
  /** Of the false-alarm rate of all forms, the share of each, adding up to 1; left out: all the same. */
  shares?: { together: number[]; byLoad: number[] };
}

/** What has a place in the operating point. */
interface Placed {
  point: readonly number[];
}

/** A third of the range of loads each, in which nine of ten plateaus lie; null where no load is known or it never moved. */
export function loadEdges({ used }: PointReading, several: readonly Placed[]): [number, number] | null {
  const place = used.indexOf('load');
  if (place < 0 || several.length === 0) return null;
  const loads = several.map(({ point }) => point[place]).sort((a, b) => a - b);
  const at = (share: number) => loads[Math.round(share * (loads.length - 1))];
  const [low, high] = [at(0.05), at(0.95)];
  return high > low ? [low + (high - low) / 3, low + (2 * (high - low)) / 3] : null;
}

/** Plateaus at low, middle and high load; null where one of the three has fewer than `least`. */
export function atLoads<One extends Placed>(
  { used }: PointReading,
  [low, high]: readonly [number, number],
  several: readonly One[],
  least: number,
): One[][] | null {
  const place = used.indexOf('load');
  const load = (one: One) => one.point[place];
  const groups = [
    several.filter((one) => load(one) < low),
    several.filter((one) => load(one) >= low && load(one) <= high),
    several.filter((one) => load(one) > high),
  ];
  return groups.every(({ length }) => length >= least) ? groups : null;
}
