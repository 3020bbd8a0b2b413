import type { components } from '../../api/schema.js';
import { decimals, formatQuantity } from '../../quantities/format-quantity.js';
import { clockOf_ms, type Zone } from '../../quantities/site-time.js';
import { scaleOf, type ScaledKind, type UnitSystem } from '../../quantities/unit-system.js';

type Schemas = components['schemas'];
export type EvidenceData = Schemas['EvidenceData'];
export type EvidenceOf<Kind extends EvidenceData['kind']> = Extract<EvidenceData, { kind: Kind }>;

/** The finding that a picture belongs to: its condition, and the quantities that its sentences name. */
export type Claim = Pick<Schemas['FindingEvidence'], 'condition' | 'claim'>;

/** Whose units and whose clock a picture is drawn in. */
export interface Reader {
  system: UnitSystem;
  zone: Zone;
}

export type Column = readonly (number | null)[];
export type Tone = 1 | 2 | 3 | 4 | 5 | 'limit' | 'quiet';

/** One line, row of dots or row of bars. `x` and `y` are in shown units; times are clock milliseconds. */
export interface Mark {
  name: string;
  shape: 'line' | 'dots' | 'bars';
  tone: Tone;
  dashed?: boolean;
  /** What the finding is about, among several. */
  strong?: boolean;
  x: number[];
  y: (number | null)[];
  /** A step in x longer than this breaks the line. */
  gap?: number;
  /** Width of a bar in x; `beyond` marks the bars that lie beyond a limit. */
  width?: number;
  beyond?: boolean[];
}

/** A part of the picture with a vertical axis of its own. */
export interface Panel {
  title: string;
  unit: string;
  /** Share of the height. */
  weight: number;
  marks: Mark[];
  levels: { value: number; words: string }[];
  /** Values that the axis always holds. */
  include?: number[];
  /** The axis spans at least this, so that what hardly moves does not look as if it did. */
  least?: number;
}

/** Everything that a picture of evidence shows, as data: no colours, no pixels. */
export interface Picture {
  x: { kind: 'time' | 'number'; title: string; unit: string };
  panels: Panel[];
  /** Shaded stretches of x. */
  spans: { from: number; to: number }[];
  /** Dotted verticals with words. */
  lines: { at: number; words: string }[];
  /** What is claimed, in two or three lines of at most 15 letters that stand beside the small picture. */
  beside: string[];
  /** The same in a sentence, for people who cannot see it. */
  says: string;
  /** What is drawn, from when. */
  caption: string;
}

export const clock = (epoch_s: number, { zone }: Reader): number => clockOf_ms(epoch_s * 1000, zone);
export const clocks = (time_s: readonly number[], reader: Reader): number[] =>
  time_s.map((time) => clock(time, reader));

/** A column in shown units. */
export function converted(values: Column, kind: ScaledKind, { system }: Reader): (number | null)[] {
  const { convert } = scaleOf(kind, system);
  return values.map((value) => (value === null ? null : convert(value)));
}

export const shownIn = (value: number, kind: ScaledKind, { system }: Reader): number =>
  scaleOf(kind, system).convert(value);
export const unitOf = (kind: ScaledKind, { system }: Reader): string => scaleOf(kind, system).unit;

export const timeAxis: Picture['x'] = { kind: 'time', title: 'Time', unit: 'site’s clock' };
export const secondsAxis: Picture['x'] = { kind: 'number', title: 'Time from the start', unit: 's' };

/** Lines of one quantity over shared times, those without any value left out. */
export function linesOver(
  x: number[],
  rows: { name: string; tone: Tone; y: (number | null)[]; dashed?: boolean; strong?: boolean }[],
  gap?: number,
): Mark[] {
  return rows
    .filter(({ y }) => y.some((value) => value !== null))
    .map((row) => ({ ...row, shape: 'line' as const, x, gap }));
}

/** The value of a quantity that the finding names; null where it names none of that name. */
export const claimed = ({ claim }: Claim, name: string): number | null => claim[name]?.value ?? null;

/** The same as the finding's sentence says it, without its uncertainty. */
export function claimedWords({ claim }: Claim, name: string, { system }: Reader): string | null {
  const quantity = claim[name];
  return quantity === undefined ? null : formatQuantity({ ...quantity, uncertainty: undefined }, system);
}

export const withSign = (words: string): string => (words.startsWith('−') ? words : `+${words}`);

export const known = (values: Column): number[] => values.filter((value) => value !== null);
export const percent = (share: number): string =>
  `${decimals(share * 100, share > 0 && share < 0.095 ? 1 : 0)} %`;
/** Middle of the known values; NaN where there are none. */
export function middle(values: Column): number {
  const sorted = known(values).sort((a, b) => a - b);
  return sorted.length === 0 ? NaN : sorted[(sorted.length - 1) >> 1];
}

/** Stretches of x with a flag, each from its first value to its last and `width` beyond it. */
export function stretches(x: readonly number[], flags: readonly boolean[], width = 0): Picture['spans'] {
  const spans: Picture['spans'] = [];
  flags.forEach((flag, k) => {
    if (!flag) return;
    const last = spans.at(-1);
    if (last && k > 0 && flags[k - 1]) last.to = x[k] + width;
    else spans.push({ from: x[k], to: x[k] + width });
  });
  return spans.filter(({ from, to }) => to > from);
}
