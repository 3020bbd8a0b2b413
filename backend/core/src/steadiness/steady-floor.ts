import type { FloorPart, FloorPoint, SteadyFloor } from './circuit-assessment.js';
import { hunts } from './summaries.js';
import type { WindowJudgement } from './window-judgement.js';

/** Support that a part of the curve needs before a floor is claimed. */
export const floorSupport = { partWidth: 10, steadyWindows: 4, steadyHours: 4, leastMinutes: 30 };

/**
 * Steady floor: the lowest superheat that the circuit has been seen to hold steadily, per part of load (or of valve
 * opening where no load is sent). It is where the minimum stable superheat line (Huelle 1967, from memory) is looked for.
 *
 * In each part the superheat that best parts steady windows from hunting ones is sought; the floor is the second lowest
 * steady window above it (the lowest may be luck). Where the circuit was never seen hunting below (`huntedUpTo_K` null),
 * the floor is an upper bound: it might hold less. Parts with too little data have no floor.
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
  const against = byLoad ? 'compressor-load' : 'valve-opening';
  const points: (FloorPoint & { minutes: number; uncertainty_K: number })[] = [];
  for (const window of usable) {
    const at = byLoad ? window.conditions.compressorLoad_pct : window.conditions.valveOpening_pct;
    if (at === null) continue;
    points.push({
      from_s: window.from_s,
      at,
      superheat_K: window.superheat!.mean_K,
      spread_K: window.superheat!.spread_K,
      hunting: hunts(window),
      minutes: window.superheat!.minutes,
      uncertainty_K: window.superheat!.uncertainty_K,
    });
  }
  if (points.length === 0) return null;
  const groups = new Map<number, typeof points>();
  for (const point of points) {
    const part = Math.min(Math.floor(point.at / floorSupport.partWidth), 100 / floorSupport.partWidth - 1);
    groups.set(part, [...(groups.get(part) ?? []), point]);
  }
  const parts: FloorPart[] = [...groups]
    .sort(([a], [b]) => a - b)
    .map(([part, inside]) => floorOfPart(part * floorSupport.partWidth, inside));
  return {
    against,
    parts,
    points: points.map(({ from_s, at, superheat_K, spread_K, hunting }) => ({
      from_s,
      at,
      superheat_K,
      spread_K,
      hunting,
    })),
  };
}

function floorOfPart(
  from: number,
  points: readonly (FloorPoint & { minutes: number; uncertainty_K: number })[],
): FloorPart {
  const steady = points.filter((point) => !point.hunting);
  const hunting = points.filter((point) => point.hunting);
  const steadyHours = steady.reduce((sum, point) => sum + point.minutes, 0) / 60;
  const part: FloorPart = {
    from,
    to: from + floorSupport.partWidth,
    floor_K: null,
    uncertainty_K: null,
    huntedUpTo_K: null,
    steadyWindows: steady.length,
    huntingWindows: hunting.length,
    steadyHours,
  };
  const threshold = bestParting(points);
  const above = steady
    .filter((point) => point.superheat_K >= threshold)
    .sort((a, b) => a.superheat_K - b.superheat_K);
  const hunted = hunting.filter((point) => point.superheat_K < threshold).map((point) => point.superheat_K);
  // Hunting all over the part, at high superheat as at low, says nothing of a floor.
  const misplaced = hunting.length - hunted.length + (steady.length - above.length);
  if (above.length < floorSupport.steadyWindows || steadyHours < floorSupport.steadyHours) return part;
  if (misplaced > 0.2 * points.length) return part;
  const lowest = above[1];
  part.floor_K = lowest.superheat_K;
  part.huntedUpTo_K = hunted.length > 0 ? Math.max(...hunted) : null;
  const spacing = above[Math.min(above.length - 1, 3)].superheat_K - above[0].superheat_K;
  part.uncertainty_K = Math.hypot(lowest.uncertainty_K, lowest.spread_K / 2, spacing / 2);
  return part;
}

/** Superheat at which `hunting below, steady above` is wrong for the fewest windows; -Infinity where nothing hunts. */
function bestParting(points: readonly FloorPoint[]): number {
  const sorted = [...points].sort((a, b) => a.superheat_K - b.superheat_K);
  // Starting with the threshold under all points: every hunting window is misplaced.
  let wrong = sorted.filter((point) => point.hunting).length;
  if (wrong === 0) return -Infinity;
  let best = wrong;
  let threshold = -Infinity;
  for (let i = 0; i < sorted.length; i++) {
    wrong += sorted[i].hunting ? -1 : 1;
    if (wrong >= best) continue;
    best = wrong;
    threshold = i + 1 < sorted.length ? (sorted[i].superheat_K + sorted[i + 1].superheat_K) / 2 : Infinity;
  }
  return threshold;
}
