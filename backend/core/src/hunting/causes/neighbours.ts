import { median } from '../../numerics/index.js';
import { hunts } from '../../steadiness/windows/summaries.js';
import type { WindowJudgement } from '../../steadiness/windows/window-judgement.js';

/** How many of some windows hunt. */
export interface HuntingCount {
  hunting: number;
  windows: number;
}

/** Mean direction of angles in cycles, and its length: 1 where all agree, near 0 where they are spread. */
export function meanDirection(cycles: readonly number[]): { cycles: number; length: number } {
  let c = 0;
  let s = 0;
  for (const cycle of cycles) {
    c += Math.cos(2 * Math.PI * cycle);
    s += Math.sin(2 * Math.PI * cycle);
  }
  return { cycles: Math.atan2(s, c) / (2 * Math.PI), length: Math.hypot(c, s) / Math.max(1, cycles.length) };
}

/** Two circuits that keep each other swinging both swing; a third of the other's swing parts that from following. */
export const followingAmplitudeRatio = 1 / 3;

interface SharedSwing {
  fraction: number;
  follows: number;
  ratio: number | null;
  lead_cycles: number | null;
  phaseLocking: number | null;
  phaseWindows: number | null;
  pressureRatio: number | null;
}

export function sharedWithNeighbours(
  hunting: readonly WindowJudgement[],
  neighbours: readonly (readonly WindowJudgement[])[],
): SharedSwing | null {
  if (neighbours.length === 0) return null;
  let compared = 0;
  let shared = 0;
  let follows = 0;
  const leads: number[] = [];
  const ratios: number[] = [];
  const pressures: number[] = [];
  for (const window of hunting) {
    const own = window.oscillation;
    const others = neighbours
      .map((list) => list.find((other) => other.from_s === window.from_s))
      .filter(
        (other): other is WindowJudgement => other !== undefined && other.oscillation.oscillating !== null,
      );
    if (others.length === 0 || own.period_s === null || !own.amplitude) continue;
    compared++;
    const [alike] = others
      .filter(
        ({ oscillation }) =>
          oscillation.oscillating && Math.abs((oscillation.period_s ?? 0) / own.period_s! - 1) < 0.03,
      )
      .sort((a, b) => (b.oscillation.amplitude ?? 0) - (a.oscillation.amplitude ?? 0));
    if (!alike) continue;
    const ratio = (alike.oscillation.amplitude ?? 0) / own.amplitude;
    ratios.push(ratio);
    if (ratio < followingAmplitudeRatio) {
      follows++;
      pressures.push(pressureRatio(alike, window));
      continue;
    }
    shared++;
    if (alike.oscillation.crest_s !== null && own.crest_s !== null)
      leads.push((alike.oscillation.crest_s - own.crest_s) / own.period_s);
  }
  if (compared === 0) return null;
  const direction = leads.length > 0 ? meanDirection(leads) : null;
  return {
    fraction: shared / compared,
    follows: follows / compared,
    ratio: medianOf(ratios),
    pressureRatio: medianOf(pressures),
    lead_cycles: direction?.cycles ?? null,
    phaseLocking: direction && leads.length >= 3 ? direction.length : null,
    phaseWindows: direction && leads.length >= 3 ? leads.length : null,
  };
}

function medianOf(values: readonly number[]): number | null {
  const middle = median(values);
  return Number.isNaN(middle) ? null : middle;
}

/** Squared coherence from which a pressure is taken to swing with its circuit's superheat. Judgement, no source. */
const leastCoherence = 0.5;

/** How far another circuit's suction pressure swings at the period that both have, over this one's; NaN where it is not told. */
function pressureRatio(other: WindowJudgement, own: WindowJudgement): number {
  const [theirs, mine] = [other, own].map(({ oscillation }) =>
    oscillation.partners.find(({ signal }) => signal === 'suction-pressure'),
  );
  return theirs !== undefined && mine !== undefined && (theirs.coherence ?? 0) >= leastCoherence
    ? theirs.amplitude / mine.amplitude
    : NaN;
}

/** Windows with and without another circuit at work, under which nothing is compared. */
const leastWindows = 3;
/** Loads, or openings where no load is sent, this near to each other are alike, percentage points. */
const likeLoad_pct = 10;
/** A circuit stands over a window where it does for this share of it. */
const standingShare = 0.9;
const leastJudged_min = 30;

/**
 * How many windows hunt while all other circuits of the unit stand, and while one of them runs, at loads as they were meanwhile: a swing
 * that two circuits make together ends with either.
 */
export function aloneAndTogether(
  windows: readonly WindowJudgement[],
  neighbours: readonly (readonly WindowJudgement[])[],
): { alone: HuntingCount | null; together: HuntingCount | null } {
  const none = { alone: null, together: null };
  if (neighbours.length === 0) return none;
  const judged = windows.filter(
    ({ oscillation }) => oscillation.oscillating !== null && oscillation.judgedMinutes >= leastJudged_min,
  );
  const othersAt = (window: WindowJudgement) =>
    neighbours.map((list) => list.find(({ from_s }) => from_s === window.from_s));
  const alone = judged.filter((window) =>
    othersAt(window).every((other) => other !== undefined && stands(other)),
  );
  const loads = alone.map(loadOf).filter(Number.isFinite);
  const together = judged.filter(
    (window) =>
      othersAt(window).some((other) => other !== undefined && other.superheat !== null) &&
      loads.some((load) => Math.abs(load - loadOf(window)) <= likeLoad_pct),
  );
  if (alone.length < leastWindows || together.length < leastWindows) return none;
  return { alone: countOf(alone), together: countOf(together) };
}

const loadOf = ({ conditions }: WindowJudgement): number =>
  conditions.compressorLoad_pct ?? conditions.valveOpening_pct ?? NaN;

function stands({ minutes }: WindowJudgement): boolean {
  const total = Object.values(minutes).reduce((sum, value) => sum + value, 0);
  return total > 0 && minutes.standing >= standingShare * total;
}

const countOf = (windows: readonly WindowJudgement[]): HuntingCount => ({
  hunting: windows.filter(hunts).length,
  windows: windows.length,
});
