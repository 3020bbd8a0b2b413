import type { FleetCircuit } from '../../registry/fleet.js';
import { placeColumns, tableOf, type Place, type RowColumn } from '../dataset.js';

interface Row {
  place: Place;
  circuit: FleetCircuit;
}

const word = (name: string, meaning: string, of: (row: Row) => string | null): RowColumn<Row> => ({
  ...{ name, meaning, of, type: 'text' },
});
const figure = (
  name: string,
  unit: string | undefined,
  meaning: string,
  of: (row: Row) => number | null,
): RowColumn<Row> => ({ ...{ name, unit, meaning, of, type: 'double' } });

const columns: RowColumn<Row>[] = [
  ...placeColumns('circuit'),
  word('site_name', 'Name of the site.', ({ place }) => place.registered.site.name),
  word('region', 'Region of the site.', ({ place }) => place.registered.site.region),
  word(
    'climate',
    'Climate of the site, a word of the registry.',
    ({ place }) => place.registered.site.climate,
  ),
  word('time_zone', 'Time zone of the site (IANA).', ({ place }) => place.registered.site.timeZone),
  figure('altitude_m', 'm', 'Height of the site.', ({ place }) => place.registered.site.altitude_m),
  word('refrigerant', 'Refrigerant.', ({ place }) => place.registered.refrigerant),
  figure(
    ...(['nominal_capacity_w', 'W', 'Cooling capacity of the unit.'] as const),
    ({ place }) => place.registered.nominalCapacity_W,
  ),
  word('condenser', 'air or water.', ({ place }) => place.registered.condenser),
  word('evaporator', 'dry-expansion, flooded or falling-film.', ({ place }) => place.registered.evaporator),
  word(
    ...(['commissioned_on', 'Day of commissioning; missing: not known.'] as const),
    ({ place }) => place.registered.commissionedOn,
  ),
  word('firmware', 'Firmware of the controller.', ({ place }) => place.registered.controllerFirmware),
  word('valve_size', 'Size of the valve, a word of the registry.', ({ circuit }) => circuit.entry.valve.size),
  figure(
    ...([
      'valve_kv_m3_h',
      'm3/h',
      'Flow coefficient of the valve fully open (IEC 60534); missing: not known.',
    ] as const),
    ({ circuit }) => circuit.entry.valve.kv_m3_h || null,
  ),
  figure(
    ...(['valve_motors', undefined, 'Valves in parallel on one controller.'] as const),
    ({ circuit }) => circuit.entry.valve.motors,
  ),
];

export const circuitsDataset = tableOf<Row>(
  {
    ...{ name: 'circuits', rowIs: 'One circuit, as the registry has it now.' },
    spanOf: 'nothing: all circuits are there',
  },
  columns,
  async function* (_sources, { circuits }) {
    yield circuits.map((place) => ({
      place,
      circuit: place.registered.circuits.find(({ number }) => number === place.number)!,
    }));
  },
);
