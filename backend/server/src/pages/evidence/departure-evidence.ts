import { departurePicture, machineOf, plateausOf, window_s, type DepartureDots } from '@coldrounds/core';
import { circuitOf, column, day_s, everyNth, nothing, type EvidenceContext } from './evidence-context.js';

/** No more plateaus of either time than this. */
const mostDots = 200;

/** The quantities that depart most over their predictor: the band of normal, the plateaus it was learned from, and those of now. */
export async function departure(context: EvidenceContext) {
  const circuit = circuitOf(context)!;
  const { sources, unit, finding } = context;
  const kept = (await sources.normals.kept([circuit.id])).get(circuit.id);
  const by = kept?.learned ?? kept?.like;
  if (!by) return nothing('What this circuit does while nothing is wrong is being learned anew.');
  const { normal, tolerance } = by;
  const [learned, seen] = await Promise.all(
    [
      { from_s: normal.from_s, to_s: normal.to_s },
      { from_s: Math.max(finding.firstSeen_s, finding.lastSeen_s - 28 * day_s), to_s: finding.lastSeen_s },
    ].map(async ({ from_s, to_s }) => {
      const windows = await sources.windows.plateausBetween(circuit.id, from_s - window_s, to_s);
      return plateausOf(windows, tolerance).filter((one) => one.from_s >= from_s && one.to_s <= to_s);
    }),
  );
  const { predictor, curves } = departurePicture(
    machineOf({ ...unit, circuits: unit.circuits.length, circuit: circuit.entry }),
    normal,
    learned,
    seen,
  );
  if (curves.length === 0) return nothing('The plateaus that show it are no longer stored.');
  return {
    kind: 'departure' as const,
    circuit: circuit.number,
    learnedFrom_s: normal.from_s,
    learnedUntil_s: normal.to_s,
    likeUnits: normal.likeUnits ?? null,
    since_s: finding.firstSeen_s,
    predictor,
    curves: curves.map(({ quantity, z, band, then, now }) => ({
      quantity,
      z,
      band: { x: band.x, expected: band.expected, low: band.low, high: band.high },
      then: thinnedDots(then),
      now: thinnedDots(now),
    })),
  };
}

function thinnedDots({ time_s, x, value }: DepartureDots) {
  const kept = everyNth(time_s.length, mostDots);
  return {
    time_s: kept.map((index) => time_s[index]),
    x: column(kept.map((index) => x[index])),
    value: column(kept.map((index) => value[index])),
  };
}
