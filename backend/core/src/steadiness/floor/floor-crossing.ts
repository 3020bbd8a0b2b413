/** A window near the floor: where it stood, and the logarithm of its restlessness over the limit. */
export interface CrossingPoint {
  at: number;
  superheat_K: number;
  excess: number;
}

export interface FloorCrossing {
  superheat_K: number;
  /** Standard uncertainty from the scatter of the windows. */
  uncertainty_K: number;
  /** Change of the logarithm of restlessness per kelvin of superheat; negative. */
  slope_per_K: number;
  /** Standard deviation of the windows' superheat that does not go along with their load. */
  variation_K: number;
}

/** Loads (or openings) that scatter by less tell no trend over load: none is taken then. Judgement, no source. */
const leastScatter_pct = 1;

/**
 * Superheat at which restlessness passes its limit at a load: the least-squares plane
 * excess = a + b superheat + c at through the windows, solved for excess = 0, and its standard uncertainty from the
 * plane's residuals (ordinary regression; a line read backwards as in JCGM 100:2008, H.3). Null with under four
 * windows, where superheat moved only along with load, or where restlessness does not fall as superheat rises.
 */
export function crossingAt(points: readonly CrossingPoint[], at: number): FloorCrossing | null {
  const n = points.length;
  if (n < 4) return null;
  const mean = (value: (point: CrossingPoint) => number) =>
    points.reduce((sum, point) => sum + value(point), 0) / n;
  const x0 = mean((point) => point.superheat_K);
  const l0 = mean((point) => point.at);
  const y0 = mean((point) => point.excess);
  let xx = 0;
  let xl = 0;
  let ll = 0;
  let xy = 0;
  let ly = 0;
  for (const point of points) {
    const x = point.superheat_K - x0;
    const l = point.at - l0;
    const y = point.excess - y0;
    xx += x * x;
    xl += x * l;
    ll += l * l;
    xy += x * y;
    ly += l * y;
  }
  const trend = ll > n * leastScatter_pct ** 2;
  // Load is taken out of superheat first; what is left of it carries the slope.
  const k = trend ? xl / ll : 0;
  const own = xx - k * xl;
  if (!(own > 1e-9 * xx)) return null;
  const b = (xy - k * ly) / own;
  if (!(b < 0)) return null;
  const c = trend ? (ly - b * xl) / ll : 0;
  const squares = points.reduce(
    (sum, point) => sum + (point.excess - y0 - b * (point.superheat_K - x0) - c * (point.at - l0)) ** 2,
    0,
  );
  const dl = trend ? at - l0 : 0;
  const dx = -(y0 + c * dl) / b;
  const leverage = 1 / n + (trend ? dl ** 2 / ll : 0) + (dx - k * dl) ** 2 / own;
  return {
    superheat_K: x0 + dx,
    uncertainty_K: Math.sqrt((squares / (n - (trend ? 3 : 2))) * leverage) / -b,
    slope_per_K: b,
    variation_K: Math.sqrt(own / n),
  };
}
