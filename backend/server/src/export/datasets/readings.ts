import { readingColumns } from '../../storage/taking-away/copied-readings.js';
import {
  backupReadingTable,
  condenserReadingTable,
  flagsOf,
  readingTable,
  waterReadingTable,
  type TelemetryTable,
} from '../../storage/schema/telemetry-tables.js';
import { backupMetrics, circuitMetrics, condenserMetrics, waterMetrics } from '@coldrounds/core/telemetry';
import type { Column } from '../column.js';
import { placeColumns, type Dataset, type Place, type Scope } from '../dataset.js';

/** What each column of the telemetry is; that each has one is a matter of `datasets.test.ts`. */
const meanings: Record<string, Record<string, string>> = {
  reading: {
    suction_pressure_pa: 'Pressure at the evaporator’s outlet, absolute.',
    suction_temperature_k: 'Temperature at the evaporator’s outlet.',
    valve_opening_pct: 'Opening of the expansion valve, as its controller says it.',
    valve_opening_2_pct: 'Opening of the second valve of a pair.',
    discharge_pressure_pa: 'Pressure at the compressors’ outlet, absolute.',
    discharge_temperature_k: 'Temperature at the compressors’ outlet.',
    liquid_temperature_k: 'Temperature of the liquid before the expansion valve.',
    superheat_setpoint_k: 'Superheat that the controller holds.',
    compressor_load_pct: 'Load of the circuit’s compressors.',
    compressor_power_w: 'Electric power of the circuit’s compressors.',
    suction_saturation_k: 'Dew temperature at the suction pressure, by the refrigerant’s properties.',
    discharge_saturation_k: 'Bubble temperature at the discharge pressure, by the refrigerant’s properties.',
    superheat_k: 'Suction temperature less dew temperature at the suction pressure.',
    subcooling_k: 'Bubble temperature at the discharge pressure less liquid temperature.',
  },
  water_reading: {
    entering_temperature_k: 'Water entering the evaporator.',
    leaving_temperature_k: 'Water leaving the evaporator.',
    flow_m3_s: 'Flow of water through the evaporator.',
    ambient_temperature_k: 'Outdoor air at the unit.',
  },
  condenser_reading: {
    entering_temperature_k: 'Water entering the condenser, or air at its coil where it is air-cooled.',
    leaving_temperature_k: 'Water or air leaving the condenser.',
    flow_m3_s: 'Flow of water or air through the condenser.',
    fan_speed_pct: 'Speed of the condenser’s fans.',
  },
  backup_reading: {
    voltage_v: 'Voltage of the backup module.',
    current_a: 'Current; positive while the module delivers.',
    temperature_k: 'Temperature of the module.',
    mains: 'Whether the mains are there.',
    health: 'Whether the module calls itself healthy.',
  },
};

const units: Record<string, string> = Object.fromEntries(
  [...circuitMetrics, ...waterMetrics, ...condenserMetrics, ...backupMetrics].map(({ column, unit }) => [
    column,
    unit,
  ]),
);
const unitOf = (name: string): string | undefined => (name.endsWith('_k') ? 'K' : units[name]);

function columnsOf(table: TelemetryTable): Column[] {
  const flags = flagsOf(table);
  return readingColumns(table).map((name) => ({
    ...{ name, type: flags.has(name) ? ('flag' as const) : ('real' as const) },
    ...(flags.has(name) ? {} : { unit: unitOf(name) }),
    meaning: meanings[table.name][name],
  }));
}

const flagOf = (value: number): boolean | null => (Number.isNaN(value) ? null : value !== 0);

/** Telemetry of one kind, as it was sent, in SI: place after place, each in time order. */
function readings(
  name: string,
  rowIs: string,
  table: TelemetryTable,
  placesOf: (scope: Scope) => readonly Place[],
): Dataset {
  const numbered = { circuit_id: 'circuit', module_id: 'module', unit_id: undefined } as const;
  const owners = placeColumns(numbered[table.owner]).map(({ of: _of, ...column }) => column);
  const columns = columnsOf(table);
  return {
    ...{ name, rowIs, spanOf: 'the reading' },
    columns: [
      ...owners,
      { name: 'time', type: 'time', required: true, meaning: 'When it was read, by the gateway’s clock.' },
      ...columns,
    ],
    batches: async function* ({ taken }, scope) {
      for (const { id, site, unit, number } of placesOf(scope)) {
        const owner = [site, unit, number].slice(0, owners.length).map((constant) => ({ constant }));
        for await (const block of taken.readings(table.name, id, scope.span))
          yield {
            rows: block.rows,
            columns: [
              ...owner,
              { times_s: block.time_s },
              ...block.columns.map((reals, at) =>
                columns[at].type === 'flag' ? { values: Array.from(reals, flagOf) } : { reals },
              ),
            ],
          };
      }
    },
  };
}

export const readingDatasets: readonly Dataset[] = [
  readings('readings', 'One time step of one circuit.', readingTable, ({ circuits }) => circuits),
  readings(
    'water-readings',
    'One time step of the water side of one unit.',
    waterReadingTable,
    (scope) => scope.units,
  ),
  readings(
    'condenser-readings',
    'One time step of the condenser side of one unit.',
    condenserReadingTable,
    (scope) => scope.units,
  ),
  readings(
    'module-readings',
    'One time step of one backup module.',
    backupReadingTable,
    ({ modules }) => modules,
  ),
];
