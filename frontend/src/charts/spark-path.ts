/** Geometry of a small line drawn beside a sentence: pure, so that it is tested without a browser. */
export interface SparkPath {
  /** SVG path of the line, broken where values are missing or time jumps. */
  line: string;
  /** Height of each asked-for level, in px from the top. */
  levels: number[];
  minimum: number;
  maximum: number;
  /** Where the last value stands. */
  end: { x: number; y: number } | null;
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

/** Null where fewer than two values are known. */
export function sparkPath(
  time_s: readonly number[],
  value: readonly (number | null)[],
  { width, height, include = [], gap_s = Infinity, padding = 3 }: SparkOptions,
): SparkPath | null {
  let minimum = Infinity;
  let maximum = -Infinity;
  let known = 0;
  for (const entry of value) {
    if (entry === null || !Number.isFinite(entry)) continue;
    known += 1;
    minimum = Math.min(minimum, entry);
    maximum = Math.max(maximum, entry);
  }
  if (known < 2) return null;
  for (const level of include) {
    minimum = Math.min(minimum, level);
    maximum = Math.max(maximum, level);
  }
  const from = time_s[0];
  const span = time_s[time_s.length - 1] - from || 1;
  const range = maximum - minimum || 1;
  const x = (time: number) => padding + ((time - from) / span) * (width - 2 * padding);
  const y = (level: number) => height - padding - ((level - minimum) / range) * (height - 2 * padding);
  const short = (pixels: number) => Number(pixels.toFixed(1));

  let line = '';
  let end: SparkPath['end'] = null;
  let last: number | null = null;
  value.forEach((entry, index) => {
    if (entry === null || !Number.isFinite(entry)) {
      last = null;
      return;
    }
    const time = time_s[index];
    const broken = last === null || time - last > gap_s;
    end = { x: short(x(time)), y: short(y(entry)) };
    line += `${broken ? 'M' : 'L'}${end.x} ${end.y}`;
    last = time;
  });
  return { line, levels: include.map((level) => short(y(level))), minimum, maximum, end };
}
