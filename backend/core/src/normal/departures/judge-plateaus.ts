import type { Departure, PlateauDepartures } from './departures.js';
import { departuresOf } from './departures.js';
import { meanDeparturesOfGroups } from './mean-departures.js';
import type { CircuitNormal } from '../learning/circuit-normal.js';
import { distanceOverLimit, nearByLoad, neighbours } from './looks.js';
import type { Machine } from '../quantities/machine.js';
import type { Plateau } from '../plateaus/find-plateaus.js';
import type { NormalQuantity } from '../quantities/quantities.js';

export interface JudgedPlateau {
  from_s: number;
  to_s: number;
  /** Combined distance from normal, in shares of its limit; null where nothing could be judged. */
  distance: number | null;
  /** Over 1: that far off on one normal plateau in a hundred. */
  overLimit: boolean;
  departures: Partial<Record<NormalQuantity, Departure>>;
  detail: PlateauDepartures;
}

/**
 * Judges plateaus against the learned normal. Each is looked at by itself and as the mean with up to twelve plateaus on
 * either side (which a slight fault that lasts moves most), each time by the Mahalanobis distance of all its departures,
 * by the largest single one (which a fault that shows in one quantity moves most) and by the usual faults' own forms
 * (`signatures.ts`), at low, middle and high load where all were seen. The distance is the largest of these as a share of the
 * limit that one normal plateau in a hundred passes.
 *
 * @param oneState The record is of a machine that did not change meanwhile: at its ends, too, the 25 nearest are looked at
 * together, not only those on one side.
 */
export function judgePlateaus(
  machine: Machine,
  normal: CircuitNormal,
  plateaus: readonly Plateau[],
  oneState = false,
): JudgedPlateau[] {
  const all = plateaus.map((plateau) => departuresOf(machine, normal, plateau));
  const most = 2 * neighbours + 1;
  return all.map((detail, i) => {
    const first = Math.max(0, oneState ? Math.min(i - neighbours, all.length - most) : i - neighbours);
    const near = all.slice(first, oneState ? first + most : i + neighbours + 1);
    const distance = distanceOf(normal, detail, near);
    return {
      from_s: detail.plateau.from_s,
      to_s: detail.plateau.to_s,
      distance,
      overLimit: distance !== null && distance > 1,
      departures: detail.departures,
      detail,
    };
  });
}

/** Combined distance of a plateau, by itself and together with those near it, in shares of its limit; null where nothing could be judged. */
export function distanceOf(
  normal: CircuitNormal,
  detail: PlateauDepartures,
  near: readonly PlateauDepartures[],
): number | null {
  if (detail.order.length === 0) return null;
  const judged = near.filter(({ order }) => order.length > 0);
  const byLoad = nearByLoad(normal, judged);
  const look = (groups: readonly (readonly PlateauDepartures[])[], forUsualFaults = true) => {
    const mean = meanDeparturesOfGroups(normal, groups);
    return mean === null ? [] : [distanceOverLimit(normal, mean, forUsualFaults)];
  };
  const looks = [
    ...look([[detail]]),
    ...(judged.length > 1 ? look([judged], byLoad === null) : []),
    ...(byLoad ? look(byLoad) : []),
  ];
  return looks.length === 0 ? null : Math.max(...looks) / normal.limit;
}
