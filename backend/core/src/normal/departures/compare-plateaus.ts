import type { CircuitNormal } from '../learning/circuit-normal.js';
import type { Plateau } from '../plateaus/find-plateaus.js';
import type { Machine } from '../quantities/machine.js';
import { normalQuantities, type NormalQuantity } from '../quantities/quantities.js';
import { departuresOf, type PlateauDepartures } from './departures.js';
import { distanceOf } from './judge-plateaus.js';
import { neighbours } from './looks.js';

/** What is kept of a plateau's comparison with normal. */
export interface ComparedPlateau {
  from_s: number;
  to_s: number;
  /** Combined distance from normal, in shares of its limit; null where nothing could be judged. */
  distance: number | null;
  /** Of the plateau, its neighbours and the normal: a comparison of the same checksum need not be made again. */
  checksum: number;
  /** Departures in standard uncertainties. */
  z: Partial<Record<NormalQuantity, number>>;
}

export const isOverLimit = ({ distance }: Pick<ComparedPlateau, 'distance'>): boolean =>
  distance !== null && distance > 1;

/**
 * As `judgePlateaus`, but takes from `before` what was compared already: a new plateau costs its own comparison and that
 * of its neighbours, however long the record. Gives the same as comparing all of them anew.
 *
 * @param generation Number of the normal: another one for each time that it was learned.
 * @param leftOut There were plateaus before these: the first ones keep what was found while their neighbours were known.
 */
export function comparePlateaus(
  machine: Machine,
  normal: CircuitNormal,
  plateaus: readonly Plateau[],
  before: readonly ComparedPlateau[],
  generation: number,
  leftOut = false,
): ComparedPlateau[] {
  const own = plateaus.map(checksumOf);
  const known = new Map(before.map((one) => [one.checksum, one]));
  const atTime = new Map(leftOut ? before.map((one) => [one.from_s, one]) : []);
  const details = new Map<number, PlateauDepartures>();
  const detail = (i: number): PlateauDepartures => {
    const made = details.get(i) ?? departuresOf(machine, normal, plateaus[i]);
    details.set(i, made);
    return made;
  };
  return plateaus.map(({ from_s, to_s }, i) => {
    const was = i < neighbours ? atTime.get(from_s) : undefined;
    if (was?.to_s === to_s) return was;
    const first = Math.max(0, i - neighbours);
    const near = own.slice(first, i + neighbours + 1);
    const checksum = mixed([generation, own[i], ...near]);
    const same = known.get(checksum);
    if (same !== undefined && same.from_s === from_s && same.to_s === to_s) return same;
    const { departures } = detail(i);
    return {
      from_s,
      to_s,
      distance: distanceOf(
        normal,
        detail(i),
        near.map((_, k) => detail(first + k)),
      ),
      checksum,
      z: Object.fromEntries(
        normalQuantities.flatMap((quantity) => {
          const departure = departures[quantity];
          return departure === undefined ? [] : [[quantity, departure.z]];
        }),
      ),
    };
  });
}

const bits = new DataView(new ArrayBuffer(8));

/** FNV-1a over the 32-bit halves of some numbers (Fowler, Noll & Vo; RFC 9923). */
function mixed(numbers: readonly number[], start = 0x811c_9dc5): number {
  let hash = start;
  for (const number of numbers) {
    bits.setFloat64(0, number);
    hash = Math.imul(hash ^ bits.getUint32(0), 0x0100_0193);
    hash = Math.imul(hash ^ bits.getUint32(4), 0x0100_0193);
  }
  return hash >>> 0;
}

/** Tells whether plateaus are the same as they were. */
export const plateausChecksum = (plateaus: readonly Plateau[]): number => mixed(plateaus.map(checksumOf));

function checksumOf({ from_s, to_s, values }: Plateau): number {
  let hash = mixed([from_s, to_s]);
  for (const number of Object.values(values)) hash = mixed([number.value, number.uncertainty], hash);
  return hash;
}
