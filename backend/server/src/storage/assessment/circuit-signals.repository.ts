import type { SignalReports } from '@coldrounds/core';
import type { Queryable } from '../connection/database.js';

interface CheckedCircuit {
  circuitId: number;
  sensors: { signals?: SignalReports | null } | null;
}

/** Keeps what was learned of the signals of circuits whose sensors were checked. */
export async function writeSignals(client: Queryable, circuits: readonly CheckedCircuit[]): Promise<void> {
  const told = circuits.flatMap(({ circuitId, sensors }) =>
    sensors?.signals ? [{ circuitId, report: sensors.signals }] : [],
  );
  if (told.length === 0) return;
  await client.query(
    `insert into circuit_signal (circuit_id, checked_until, pressure_at, temperature_at, report)
     select circuit_id, to_timestamp(until_s), to_timestamp(pressure_s), to_timestamp(temperature_s), report::jsonb
       from unnest($1::int[], $2::float8[], $3::float8[], $4::float8[], $5::text[])
            as r(circuit_id, until_s, pressure_s, temperature_s, report)
     on conflict (circuit_id) do update set checked_until = excluded.checked_until, pressure_at = excluded.pressure_at,
       temperature_at = excluded.temperature_at, report = excluded.report`,
    [
      told.map(({ circuitId }) => circuitId),
      told.map(({ report }) => report.to_s),
      told.map(({ report }) => report.signals.suctionPressure_Pa.newest_s),
      told.map(({ report }) => report.signals.suctionTemperature_K.newest_s),
      told.map(({ report }) => JSON.stringify(report)),
    ],
  );
}

/** What was learned of the signals of circuits when their sensors were checked last. */
export class SignalRepository {
  constructor(private readonly database: Queryable) {}

  /** By the circuits' numbers in the store. */
  async reports(circuitIds: readonly number[]): Promise<Map<number, SignalReports>> {
    const { rows } = await this.database.query<{ id: number; report: SignalReports }>(
      'select circuit_id as id, report from circuit_signal where circuit_id = any($1)',
      [circuitIds],
    );
    return new Map(rows.map(({ id, report }) => [id, report]));
  }
}
