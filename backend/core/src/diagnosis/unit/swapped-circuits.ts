import { swappedByNormal, type DepartingCircuit } from '../causes/swapped-by-normal.js';
import type { Finding } from '../finding.js';
import { swappedBetweenCircuits } from '../standing/swapped-between-circuits.js';
import { pressuresAreReversed } from '../swapped/pressures-are-reversed.js';
import { swappedByDifferences } from '../swapped/swapped-by-differences.js';
import { swappedByValve } from '../swapped/swapped-by-valve.js';

/**
 * Sensors that are swapped between the circuits of a unit: by which of them runs, or else, where circuits always run
 * together, by what follows each valve, by how the circuits differ from each other, or by what each did before. A circuit
 * whose own two pressures are the wrong way round is left out: its suction pressure goes against that of another circuit as well.
 * @throws UnknownRefrigerantError.
 */
export function swappedCircuits(of: readonly DepartingCircuit[], refrigerant: string): Finding[] {
  const circuits = of.filter(({ series }) => !pressuresAreReversed(series, refrigerant));
  if (circuits.length < 2) return [];
  const byRunning = swappedBetweenCircuits(
    circuits.map(({ series }) => series),
    circuits.map(({ circuit }) => ({ number: circuit })),
    refrigerant,
  );
  if (byRunning.length > 0) return byRunning;
  const byValve = swappedByValve(circuits, refrigerant);
  if (byValve.length > 0) return byValve;
  const byDifferences = swappedByDifferences(circuits, refrigerant);
  return byDifferences.length > 0 ? byDifferences : swappedByNormal(circuits);
}
