import type { FloorPart, FloorPoint, SteadyFloor } from '../circuit-assessment.js';
import { crossingAt, type FloorCrossing } from './floor-crossing.js';
import { calmOf, isDisturbed, restless, restlessnessOf, roomOf } from './restlessness.js';
import { hunts } from '../windows/summaries.js';
import type { WindowJudgement } from '../windows/window-judgement.js';

/** Support that a part of the curve needs before it has a floor. Judgement, no source. */
export const floorSupport = {
  partWidth_pct: 10,
  /** From a part's middle to the windows that say something of it: its own, and half of each neighbour's. */
  nearby_pct: 15,
  steadyWindows: 4,
  steadyHours: 4,
  leastMinutes: 30,
  /** Fraction of the windows that may be restless above the floor or steady below it. */
  misplacedFraction: 0.2,
};

/** What it needs besides before the floor is claimed to lie there. Judgement, no source. */
export const floorClaim = {
  restlessWindows: 2,
  /** From the highest restless window to the lowest steady one, and from where they part to the windows that count. */
  bracket_K: 1,
  windows: 8,
  /**
   * From the floor up to the calm windows; nearer to it the circuit is not at its calmest. Their mean load must lie in
   * the part, too: calm changes with load.
   */
  calmAbove_K: 1.5,
  /** By how much superheat must have been varied, standard deviation. */
  variation_K: 0.2,
  uncertainty_K: 0.2,
  /** Fraction of the windows a kelvin or more above the floor that may swing at a period, however little. */
  swingingFraction: 0.5,
  /** Relative doubt of the limit of restlessness: one an eighth higher or lower would be as good. */
  limitDoubt: 0.125,
};

interface Point extends FloorPoint {
  minutes: number;
  uncertainty_K: number;
  robustSpread_K: number;
  restlessness: number;
  disturbed: boolean;
  oscillating: boolean;
}

/**
 * Steady floor: the lowest superheat that the circuit has been seen to hold steadily, per part of load (or of valve
 * opening where no load is sent). It is where the minimum stable superheat line (Huelle, from memory) is looked for.
 *
 * In each part the superheat that best parts steady windows from restless ones is sought. Where both were seen close to
 * it, the floor is where restlessness passes its limit, read from all windows near it (`bracketed`). Else it is the
 * lowest steady window, an upper bound: the circuit might hold less. So too where the loop may have given way before the
 * evaporator, and where entering water is not measured, so that restlessness cannot be told from the growth that any
 * spread shows towards low superheat. Parts with too little data, or where restless and steady windows mix, have no floor.
 */
export function steadyFloorOf(windows: readonly WindowJudgement[]): SteadyFloor | null {
  const usable = windows.filter(
    (window) =>
      window.superheat !== null &&
      window.superheat.minutes >= floorSupport.leastMinutes &&
      window.oscillation.oscillating !== null,
  );
  const mostly = (has: (window: WindowJudgement) => boolean) =>
    usable.filter(has).length >= 0.8 * usable.length;
  const byLoad = mostly((window) => window.conditions.compressorLoad_pct !== null);
  const roomKnown = mostly((window) => roomOf(window) !== null);
  const points: Point[] = [];
  for (const window of usable) {
    const at = byLoad ? window.conditions.compressorLoad_pct : window.conditions.valveOpening_pct;
    const room_K = roomKnown ? roomOf(window) : null;
    if (at === null || (roomKnown && room_K === null)) continue;
    const held = window.superheat!;
    points.push({
      from_s: window.from_s,
      at,
      superheat_K: held.mean_K,
      spread_K: held.spread_K,
      hunting: hunts(window),
      steady: false,
      minutes: held.minutes,
      uncertainty_K: held.uncertainty_K,
      robustSpread_K: held.robustSpread_K,
      restlessness: restlessnessOf(window, room_K),
      disturbed: isDisturbed(window),
      oscillating: window.oscillation.oscillating === true,
    });
  }
  if (points.length === 0) return null;
  const width = floorSupport.partWidth_pct;
  const parts: FloorPart[] = [];
  for (let from = 0; from < 100; from += width) {
    const last = from + width >= 100;
    const inside = points.filter((point) => point.at >= from && (last || point.at < from + width));
    if (inside.length > 0) parts.push(floorOfPart(from, inside, points, roomKnown));
  }
  return {
    against: byLoad ? 'compressor-load' : 'valve-opening',
    parts,
    points: points.map(({ from_s, at, superheat_K, spread_K, hunting, steady }) => ({
      from_s,
      at,
      superheat_K,
      spread_K,
      hunting,
      steady,
    })),
  };
}

/** Says of the points inside which are steady, and of the part where its floor lies. */
function floorOfPart(
  from: number,
  inside: readonly Point[],
  all: readonly Point[],
  roomKnown: boolean,
): FloorPart {
  const middle = from + floorSupport.partWidth_pct / 2;
  const nearby = all.filter(
    (point) => !point.disturbed && Math.abs(point.at - middle) <= floorSupport.nearby_pct,
  );
  const calm = calmOf(nearby);
  const limit = calm.restlessness * (roomKnown ? restless.timesCalm : restless.timesCalmWithoutRoom);
  for (const point of inside) point.steady = isSteady(point, limit);
  const points = inside.filter((point) => !point.disturbed);
  const steady = points.filter((point) => point.steady);
  const stirred = points.filter((point) => !point.steady);
  const steadyHours = steady.reduce((sum, point) => sum + point.minutes, 0) / 60;
  const part: FloorPart = {
    from,
    to: from + floorSupport.partWidth_pct,
    floor_K: null,
    uncertainty_K: null,
    huntedUpTo_K: null,
    bracketed: false,
    steadyWindows: steady.length,
    huntingWindows: stirred.length,
    steadyHours,
  };
  const threshold_K = bestThreshold(points);
  const above = steady
    .filter((point) => point.superheat_K >= threshold_K)
    .sort((a, b) => a.superheat_K - b.superheat_K);
  const below = stirred
    .filter((point) => point.superheat_K < threshold_K)
    .sort((a, b) => b.superheat_K - a.superheat_K);
  // Restless all over the part, at high superheat as at low, says nothing of a floor.
  const misplaced = points.length - above.length - below.length;
  if (above.length < floorSupport.steadyWindows || steadyHours < floorSupport.steadyHours) return part;
  if (misplaced > floorSupport.misplacedFraction * points.length) return part;
  const near = nearby
    .filter((point) => Math.abs(point.superheat_K - threshold_K) <= floorClaim.bracket_K)
    .map((point) => ({ ...point, excess: Math.log(point.restlessness / limit) }));
  const crossing = roomKnown && near.length >= floorClaim.windows ? crossingAt(near, middle) : null;
  const claimed =
    crossing !== null &&
    isFixed(crossing, threshold_K, above, below) &&
    calm.superheat_K >= crossing.superheat_K + floorClaim.calmAbove_K &&
    Math.abs(calm.at - middle) <= floorSupport.partWidth_pct / 2 &&
    !loopGivesWay(crossing, below, all);
  part.bracketed = claimed;
  part.floor_K = claimed ? crossing.superheat_K : above[0].superheat_K;
  part.huntedUpTo_K = below.find((point) => point.superheat_K <= part.floor_K!)?.superheat_K ?? null;
  // How far down an upper bound might have gone unseen: half of the way to the restless windows, or to the next steady ones.
  const unseen_K =
    below.length > 0
      ? above[0].superheat_K - below[0].superheat_K
      : above[2].superheat_K - above[0].superheat_K;
  part.uncertainty_K = claimed
    ? Math.hypot(above[0].uncertainty_K, crossing.uncertainty_K, floorClaim.limitDoubt / crossing.slope_per_K)
    : Math.hypot(above[0].uncertainty_K, unseen_K / 2);
  return part;
}

const isSteady = (point: Point, limit: number): boolean =>
  !point.hunting &&
  point.robustSpread_K <= restless.most_K &&
  (point.restlessness <= limit || point.robustSpread_K <= restless.least_K);

/** Whether restless windows were seen under the crossing and steady ones over it, close by, and fix it well enough. */
const isFixed = (
  crossing: FloorCrossing,
  threshold_K: number,
  above: readonly Point[],
  below: readonly Point[],
): boolean =>
  below.filter((point) => point.superheat_K <= crossing.superheat_K).length >= floorClaim.restlessWindows &&
  above[0].superheat_K - below[0].superheat_K <= floorClaim.bracket_K &&
  Math.abs(crossing.superheat_K - threshold_K) <= floorClaim.bracket_K &&
  crossing.variation_K >= floorClaim.variation_K &&
  crossing.uncertainty_K <= floorClaim.uncertainty_K;

/**
 * Whether the loop may have given way before the evaporator: the circuit mostly hunts below, or it swings at a period
 * already well above.
 */
function loopGivesWay(crossing: FloorCrossing, below: readonly Point[], all: readonly Point[]): boolean {
  const wellAbove = all.filter((point) => point.superheat_K >= crossing.superheat_K + 1);
  return (
    below.filter((point) => point.hunting).length > below.length / 2 ||
    wellAbove.filter((point) => point.oscillating).length > floorClaim.swingingFraction * wellAbove.length
  );
}

/** Superheat at which `restless below, steady above` is wrong for the fewest windows; -Infinity where none is restless. */
function bestThreshold(points: readonly Point[]): number {
  const sorted = [...points].sort((a, b) => a.superheat_K - b.superheat_K);
  // With the threshold under all points every restless window is misplaced.
  let wrong = sorted.filter((point) => !point.steady).length;
  let best = wrong;
  let threshold = -Infinity;
  for (let i = 0; i < sorted.length; i++) {
    wrong += sorted[i].steady ? 1 : -1;
    if (wrong >= best) continue;
    best = wrong;
    threshold = i + 1 < sorted.length ? (sorted[i].superheat_K + sorted[i + 1].superheat_K) / 2 : Infinity;
  }
  return threshold;
}
