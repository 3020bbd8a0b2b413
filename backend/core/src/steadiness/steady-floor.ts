import { quantileSorted, sortedFinite } from '../signals/statistics.js';
import type { FloorPart, FloorPoint, SteadyFloor } from './circuit-assessment.js';
import { hunts } from './summaries.js';
import type { WindowJudgement } from './window-judgement.js';

/** Support that a part of the curve needs before a floor is claimed. */
export const floorSupport = {
  partWidth_pct: 10,
  steadyWindows: 4,
  steadyHours: 4,
  leastMinutes: 30,
  restlessWindows: 2,
  bracket_K: 0.75,
};

/**
 * A window is restless when it hunts, or when its robust spread passes this many times the circuit's own calm spread,
 * the median over the third of its windows with the highest superheat. Bounds keep a circuit that is always calm, or
 * never, from setting its own measure. Judgement, no source.
 */
export const restless = { timesCalm: 2.5, least_K: 0.3, most_K: 0.6 };

interface Point extends FloorPoint {
  minutes: number;
  uncertainty_K: number;
}

/**
 * Steady floor: the lowest superheat that the circuit has been seen to hold steadily, per part of load (or of valve
 * opening where no load is sent). It is where the minimum stable superheat line (Huelle, from memory) is looked for.
 *
 * In each part the superheat that best parts steady windows from restless ones is sought; the floor is the lowest steady
 * window above it. Where the circuit was not seen restless close below, or where it mostly hunts there, so that the loop may
 * have given way before the evaporator (`bracketed` false), the floor is an upper bound: it might hold less. Parts with too little data, or where restless and steady windows mix, have no floor.
 */
export function steadyFloorOf(windows: readonly WindowJudgement[]): SteadyFloor | null {
  const usable = windows.filter(
    (window) =>
      window.superheat !== null &&
      window.superheat.minutes >= floorSupport.leastMinutes &&
      window.oscillation.oscillating !== null,
  );
  if (usable.length === 0) return null;
  const withLoad = usable.filter((window) => window.conditions.compressorLoad_pct !== null);
  const byLoad = withLoad.length >= 0.8 * usable.length;
  const limit_K = restlessSpread(usable);
  const points: Point[] = [];
  for (const window of usable) {
    const at = byLoad ? window.conditions.compressorLoad_pct : window.conditions.valveOpening_pct;
    if (at === null) continue;
    const held = window.superheat!;
    const hunting = hunts(window);
    points.push({
      from_s: window.from_s,
      at,
      superheat_K: held.mean_K,
      spread_K: held.spread_K,
      hunting,
      steady: !hunting && held.robustSpread_K <= limit_K,
      minutes: held.minutes,
      uncertainty_K: held.uncertainty_K,
    });
  }
  if (points.length === 0) return null;
  const width = floorSupport.partWidth_pct;
  const groups = new Map<number, Point[]>();
  for (const point of points) {
    const part = Math.min(Math.floor(point.at / width), 100 / width - 1);
    groups.set(part, [...(groups.get(part) ?? []), point]);
  }
  return {
    against: byLoad ? 'compressor-load' : 'valve-opening',
    parts: [...groups].sort(([a], [b]) => a - b).map(([part, inside]) => floorOfPart(part * width, inside)),
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

function restlessSpread(windows: readonly WindowJudgement[]): number {
  const bySuperheat = [...windows].sort((a, b) => b.superheat!.mean_K - a.superheat!.mean_K);
  const calm = bySuperheat.slice(0, Math.ceil(windows.length / 3));
  const spread = quantileSorted(sortedFinite(calm.map((window) => window.superheat!.robustSpread_K)), 0.5);
  return Math.min(restless.most_K, Math.max(restless.least_K, restless.timesCalm * spread));
}

function floorOfPart(from: number, points: readonly Point[]): FloorPart {
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
  const threshold = bestParting(points);
  const above = steady
    .filter((point) => point.superheat_K >= threshold)
    .sort((a, b) => a.superheat_K - b.superheat_K);
  const underneath = stirred.filter((point) => point.superheat_K < threshold);
  const below = underneath.map((point) => point.superheat_K);
  // Restless all over the part, at high superheat as at low, says nothing of a floor.
  const misplaced = stirred.length - below.length + (steady.length - above.length);
  if (above.length < floorSupport.steadyWindows || steadyHours < floorSupport.steadyHours) return part;
  if (misplaced > 0.2 * points.length) return part;
  const lowest = above[0];
  part.floor_K = lowest.superheat_K;
  part.huntedUpTo_K = below.length > 0 ? Math.max(...below) : null;
  part.bracketed =
    part.huntedUpTo_K !== null &&
    below.length >= floorSupport.restlessWindows &&
    underneath.filter((point) => point.hunting).length <= below.length / 2 &&
    lowest.superheat_K - part.huntedUpTo_K <= floorSupport.bracket_K;
  // How far down it might have gone unseen: half of the way to the restless windows, or to the next steady ones.
  const resolution =
    part.huntedUpTo_K === null
      ? above[2].superheat_K - lowest.superheat_K
      : lowest.superheat_K - part.huntedUpTo_K;
  part.uncertainty_K = Math.hypot(lowest.uncertainty_K, resolution / 2);
  return part;
}

/** Superheat at which `restless below, steady above` is wrong for the fewest windows; -Infinity where none is restless. */
function bestParting(points: readonly Point[]): number {
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
