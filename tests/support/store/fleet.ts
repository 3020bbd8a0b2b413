import type { CircuitEntry, ModuleEntry } from '@coldrounds/core/telemetry';
import type { Database } from '../../../backend/server/src/storage/index.js';

const temperature = { minimum: 223.15, maximum: 423.15, tolerance: 0.3 };

export const circuitEntry = (number: number): CircuitEntry => ({
  number,
  valve: { size: 'kv-1', kv_m3_h: 1, fullStroke_steps: 2500, rate_steps_s: 100, motors: 1 },
  suctionPressure: { minimum: -1e5, maximum: 9e5, tolerance: 1e4, reference: 'gauge' },
  dischargePressure: { minimum: 0, maximum: 3e6, tolerance: 3e4, reference: 'absolute' },
  suctionTemperature: temperature,
  dischargeTemperature: temperature,
  liquidTemperature: temperature,
  floodbackLimit_K: 2,
  safetyMargin_K: 1,
});

export const moduleEntry: ModuleEntry = {
  number: 1,
  circuits: [1],
  cellsInSeries: 6,
  ratedVoltage_V: 16,
  minimumVoltage_V: 8,
  ratedCapacitance_F: 10,
  ratedEsr_Ohm: 0.1,
  drivePower_W: 8,
  overdrive_pct: 10,
  installedOn: '2024-01-01',
};

/** A small invented registry: `units` units at one site, each with one or more circuits and one module. */
export async function seedFleet(database: Database, units = 1, circuitsPerUnit = 2): Promise<void> {
  await database.query(
    `insert into site (key, name, altitude_m, latitude_deg, longitude_deg, time_zone, climate)
     values ('harbour', 'Harbour House', 0, 40, -8, 'Europe/Lisbon', 'mild')`,
  );
  for (let u = 1; u <= units; u++) {
    await database.query(
      `insert into unit (site_id, key, name, refrigerant, nominal_capacity_w, condenser, commissioned_on, controller_firmware)
       values (1, $1, $1, 'R134a', 200000, 'air', '2023-04-01', '1.0')`,
      [`chiller-${u}`],
    );
    for (let c = 1; c <= circuitsPerUnit; c++) {
      await database.query('insert into circuit (unit_id, number, entry) values ($1, $2, $3)', [
        u,
        c,
        circuitEntry(c),
      ]);
    }
    await database.query('insert into module (unit_id, number, entry) values ($1, 1, $2)', [u, moduleEntry]);
  }
}
