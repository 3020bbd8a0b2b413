import { extent } from 'd3-array';
import { scaleLinear } from 'd3-scale';
import { line } from 'd3-shape';

/** Geometry of a small line drawn beside a sentence: pure, so that it is tested without a browser. */
export interface SparkPath {
  /** SVG path of the line, broken where values are missing or time jumps. */
  line: string;
  /** Height of each asked-for level, in px from the top. */
  levels: number[];
  minimum: number;
  maximum: number;
}

export interface SparkOptions {
  width: number;
  height: number;
  /** Always kept inside the vertical range, e.g. a limit. */
  include?: number[];
  /** A gap in time longer than this breaks the line, s. */
  gap_s?: number;
  padding?: number;
}

interface Place {
  time_s: number;
  value: number | null;
}

const isKnown = (value: number | null): value is number => value !== null && Number.isFinite(value);

/** Null where fewer than two values are known. */
export function sparkPath(
  time_s: readonly number[],
  value: readonly (number | null)[],
  { width, height, include = [], gap_s = Infinity, padding = 3 }: SparkOptions,
): SparkPath | null {
  const known = value.filter(isKnown);
  if (known.length < 2) return null;
  const [minimum, maximum] = extent([...known, ...include]) as [number, number];
  const x = scaleLinear([time_s[0], time_s[time_s.length - 1]], [padding, width - padding]);
  const y = scaleLinear([minimum, maximum], [height - padding, padding]);
  const places = value.flatMap((each, index): Place[] => {
    const place = { time_s: time_s[index], value: each };
    const jumped = index > 0 && time_s[index] - time_s[index - 1] > gap_s;
    return jumped ? [{ ...place, value: null }, place] : [place];
  });
  const draw = line<Place>()
    .defined((place) => isKnown(place.value))
    .x((place) => x(place.time_s))
    .y((place) => y(place.value!))
    .digits(1);
  return { line: draw(places)!, levels: include.map((level) => y(level)), minimum, maximum };
}
