import type { ComparedPlateau } from '../normal/departures/compare-plateaus.js';
import type { Plateau } from '../normal/plateaus/find-plateaus.js';
import type { Stop } from '../normal/plateaus/stops.js';
import type { WindowPlateaus } from '../normal/plateaus/window-plateaus.js';
import type { Channel } from '../normal/plateaus/channels.js';
import type { NormalQuantity } from '../normal/quantities/quantities.js';
import {
  figure,
  figureOrNull,
  instant,
  instantOrNull,
  listOf,
  pack,
  record,
  since,
  unpack,
  whole,
  type Shape,
} from './packing.js';

/** Raise it with every change of a shape below, and add new fields by `since`. */
const version = 3;

/** Places in the mask that says which channels follow; a place is never used for another channel. */
const channelPlaces: Record<Channel, number> = {
  suctionPressure_Pa: 0,
  suctionTemperature_K: 1,
  valveOpening_pct: 2,
  dischargePressure_Pa: 3,
  dischargeTemperature_K: 4,
  liquidTemperature_K: 5,
  superheatSetpoint_K: 6,
  compressorLoad_pct: 7,
  enteringWaterTemperature_K: 8,
  leavingWaterTemperature_K: 9,
  waterFlow_m3_s: 10,
  ambientTemperature_K: 11,
  condenserEnteringTemperature_K: 12,
  condenserLeavingTemperature_K: 13,
  condenserFlow_m3_s: 14,
  condenserFanSpeed_pct: 15,
  compressorPower_W: 16,
};

const quantityPlaces: Record<NormalQuantity, number> = {
  condenserApproach_K: 0,
  evaporatorApproach_K: 1,
  subcooling_K: 2,
  superheat_K: 3,
  dischargeSuperheat_K: 4,
  condenserDifference_K: 5,
  evaporatorDifference_K: 6,
  condenserFlow_m3_s: 7,
  evaporatorFlow_m3_s: 8,
  compressorPower_W: 9,
  heatBalance_K: 10,
  valveOpening_pct: 11,
  compressorLoad_pct: 12,
};

/** Those values of a record that are there, behind a mask of their places. */
function present<Name extends string, T>(
  places: Record<Name, number>,
  shape: Shape<T>,
): Shape<Partial<Record<Name, T>>> {
  const names = (Object.keys(places) as Name[]).sort((a, b) => places[a] - places[b]);
  return {
    write: (to, value) => {
      to.count(
        names.reduce((mask, name) => (value[name] === undefined ? mask : mask | (1 << places[name])), 0) >>>
          0,
      );
      for (const name of names) if (value[name] !== undefined) shape.write(to, value[name]!);
    },
    read: (from) => {
      const mask = from.count();
      const value: Partial<Record<Name, T>> = {};
      for (const name of names) if (mask & (1 << places[name])) value[name] = shape.read(from);
      return value;
    },
  };
}

const plateau = record<Plateau>({
  from_s: instant,
  to_s: instant,
  samples: whole,
  values: present(channelPlaces, record({ value: figure, uncertainty: figure })),
});

const stop = record<Stop>({ at_s: instant, left: figure });

const windowPlateaus = record<WindowPlateaus>({
  start_s: instant,
  ran_s: figure,
  cuts: listOf(
    record<WindowPlateaus['cuts'][number]>({ level: whole, steady_s: figure, plateaus: listOf(plateau) }),
  ),
  stops: since(2, listOf(stop), []),
  atStart: since(3, listOf(stop), []),
  ranUntil_s: since(3, instantOrNull, null),
});

const comparison = record<ComparedPlateau>({
  from_s: instant,
  to_s: instant,
  distance: figureOrNull,
  checksum: whole,
  z: present(quantityPlaces, figure),
});

/**
 * Plateaus of judged windows as bytes, some 150 of them a plateau. Figures keep 7 digits, so whoever compares them must
 * go on with what `unpackPlateaus` gives.
 */
export const packPlateaus = (windows: readonly WindowPlateaus[]): Uint8Array =>
  pack(version, windowPlateaus, windows);

export const unpackPlateaus = (bytes: Uint8Array): WindowPlateaus[] => unpack(version, windowPlateaus, bytes);

/** How plateaus compare with normal as bytes, some 80 of them a plateau. */
export const packComparisons = (compared: readonly ComparedPlateau[]): Uint8Array =>
  pack(version, comparison, compared);

export const unpackComparisons = (bytes: Uint8Array): ComparedPlateau[] => unpack(version, comparison, bytes);
