import type { CircuitFacts, FactsTimeline } from '../fleet.js';
import type { ColdRecall } from '../cold/recall.js';
import { Database, type Queryable } from '../connection/database.js';
import { readingTable } from '../schema/telemetry-tables.js';

/** Readings of a circuit that are to be converted anew. */
export interface Reconversion {
  circuitId: number;
  from_s: number;
  /** Readings before it are done. */
  doneUntil_s: number;
  /** By what the others are still converted. */
  before: FactsTimeline;
}

/** Stands for the beginning of time: a moment that no reading is older than. */
export const always_s = -1e9;

interface PastRow {
  circuit_id: number;
  until_s: number;
  facts: CircuitFacts;
}

/** What held of circuits in the past, and the readings that wait to be converted by it. */
export class FactsRepository {
  constructor(
    private readonly database: Database,
    private readonly recall: ColdRecall | null = null,
  ) {}

  /** What held until when, oldest first, of those circuits that ever changed. */
  async pasts(
    circuitIds: readonly number[] | null,
    by: Queryable = this.database,
  ): Promise<Map<number, FactsTimeline>> {
    const { rows } = await by.query<PastRow>(
      `select circuit_id, extract(epoch from until)::float8 as until_s, facts from circuit_past
        where $1::int[] is null or circuit_id = any($1) order by circuit_id, until`,
      [circuitIds],
    );
    const pasts = new Map<number, FactsTimeline>();
    for (const { circuit_id, until_s, facts } of rows) {
      const known = pasts.get(circuit_id);
      if (known) known.push({ until_s, facts });
      else pasts.set(circuit_id, [{ until_s, facts }]);
    }
    return pasts;
  }

  /** Replaces what is known of a circuit's past. The end of the timeline, what holds now, is not kept here. */
  async keepPast(client: Queryable, circuitId: number, timeline: FactsTimeline): Promise<void> {
    const ended = timeline.filter(({ until_s }) => until_s !== null);
    await client.query('delete from circuit_past where circuit_id = $1', [circuitId]);
    await client.query(
      `insert into circuit_past (circuit_id, until, facts)
       select $1, to_timestamp(until_s), facts::jsonb from unnest($2::float8[], $3::text[]) as p(until_s, facts)`,
      [circuitId, ended.map(({ until_s }) => until_s), ended.map(({ facts }) => JSON.stringify(facts))],
    );
  }

  async pendingOf(circuitIds: readonly number[], by: Queryable = this.database): Promise<Reconversion[]> {
    const { rows } = await by.query<Reconversion>(
      `${selectReconversions} where circuit_id = any($1) order by asked_at, circuit_id`,
      [circuitIds],
    );
    return rows;
  }

  /** What holds of a circuit now, and whether it is in service. */
  async now(
    circuitId: number,
    by: Queryable = this.database,
  ): Promise<{ facts: CircuitFacts; inService: boolean }> {
    const { rows } = await by.query<CircuitFacts & { inService: boolean }>(
      `select u.refrigerant, u.evaporator, u.reversible, u.reporting, s.altitude_m, c.entry,
              c.retired_at is null and u.retired_at is null as "inService"
         from circuit c join unit u on u.id = c.unit_id join site s on s.id = u.site_id where c.id = $1`,
      [circuitId],
    );
    const [{ inService, ...facts }] = rows;
    return { facts, inService };
  }

  /** How many circuits of a site wait. */
  async waitingAt(siteId: number): Promise<number> {
    const { rows } = await this.database.query<{ circuits: number }>(
      `select count(*)::int as circuits from reconversion r join circuit c on c.id = r.circuit_id
         join unit u on u.id = c.unit_id where u.site_id = $1`,
      [siteId],
    );
    return rows[0].circuits;
  }

  /** Has the readings of a circuit converted anew from a moment on; `before`: by what all of them are converted so far. */
  async askFor(client: Queryable, circuitId: number, from_s: number, before: FactsTimeline): Promise<void> {
    await client.query(
      `insert into reconversion (circuit_id, from_at, done_until, before)
       values ($1, to_timestamp($2), to_timestamp($2), $3)
       on conflict (circuit_id) do update set from_at = least(reconversion.from_at, excluded.from_at),
         done_until = least(reconversion.from_at, excluded.from_at), before = excluded.before, asked_at = now()`,
      [circuitId, from_s, JSON.stringify(before)],
    );
  }

  /**
   * Takes the circuit that has waited longest and lets `work` convert a part of it, in one transaction in which nobody
   * stores readings or changes the registry. False where none waits.
   */
  async takeNext(work: (client: Queryable, next: Reconversion) => Promise<void>): Promise<boolean> {
    const waiting = await this.database.query('select from reconversion limit 1');
    if (waiting.rowCount === 0) return false;
    return this.database.transaction(async (client) => {
      await lockRegistry(client);
      const { rows } = await client.query<Reconversion>(
        `${selectReconversions} order by asked_at, circuit_id limit 1`,
      );
      if (rows.length === 0) return false;
      await work(client, rows[0]);
      // Whoever stores readings has to look at what they are converted by.
      await client.query('update registry_version set version = version + 1');
      return true;
    });
  }

  async done(client: Queryable, circuitId: number, until_s: number | null): Promise<void> {
    if (until_s === null) await client.query('delete from reconversion where circuit_id = $1', [circuitId]);
    else
      await client.query('update reconversion set done_until = to_timestamp($2) where circuit_id = $1', [
        circuitId,
        until_s,
      ]);
  }

  /** The circuit that has waited longest; none is held. */
  async nextWaiting(): Promise<Reconversion | null> {
    const { rows } = await this.database.query<Reconversion>(
      `${selectReconversions} order by asked_at, circuit_id limit 1`,
    );
    return rows[0] ?? null;
  }

  /**
   * Takes readings of a circuit back from the cold store, as they are to be changed. Outside the transaction that converts them, as
   * telemetry is to be stored meanwhile.
   */
  async bringBack(circuitId: number, from_s: number, atLeast: number): Promise<void> {
    await this.recall?.takeBack(readingTable, circuitId, from_s, atLeast);
  }

  /**
   * Pressures of a circuit's readings from a moment on, at most so many; NaN where missing.
   *
   * `away_s`: where readings begin that still lie in the cold store, and which are not among these; null: none do.
   */
  async pressures(client: Queryable, circuitId: number, from_s: number, limit: number) {
    const away_s = (await this.recall?.firstAway_s(client, readingTable, circuitId, from_s)) ?? null;
    const { rows } = await client.query<{ time_s: number; suction: number | null; discharge: number | null }>(
      `select extract(epoch from time)::float8 as time_s, suction_pressure_pa as suction, discharge_pressure_pa as discharge
         from reading where circuit_id = $1 and time >= to_timestamp($2) and ($4::float8 is null or time < to_timestamp($4))
        order by time limit $3`,
      [circuitId, from_s, limit, away_s],
    );
    return {
      away_s,
      time_s: Float64Array.from(rows, ({ time_s }) => time_s),
      suctionPressure_Pa: Float64Array.from(rows, ({ suction }) => suction ?? NaN),
      dischargePressure_Pa: Float64Array.from(rows, ({ discharge }) => discharge ?? NaN),
    };
  }

  async writePressures(
    client: Queryable,
    circuitId: number,
    time_s: Float64Array,
    columns: Record<
      'suctionPressure_Pa' | 'dischargePressure_Pa' | 'suctionSaturation_K' | 'dischargeSaturation_K',
      Float64Array
    >,
  ): Promise<void> {
    const given = (column: Float64Array) =>
      Array.from(column, (value) => (Number.isNaN(value) ? null : value));
    await client.query(
      `update reading r set suction_pressure_pa = n.suction, discharge_pressure_pa = n.discharge,
              suction_saturation_k = n.dew, discharge_saturation_k = n.bubble,
              superheat_k = r.suction_temperature_k - n.dew, subcooling_k = n.bubble - r.liquid_temperature_k
         from unnest($2::float8[], $3::real[], $4::real[], $5::real[], $6::real[])
              as n(time_s, suction, discharge, dew, bubble)
        where r.circuit_id = $1 and r.time = to_timestamp(n.time_s)
          and r.time between to_timestamp($7) and to_timestamp($8)`,
      [
        circuitId,
        Array.from(time_s),
        given(columns.suctionPressure_Pa),
        given(columns.dischargePressure_Pa),
        given(columns.suctionSaturation_K),
        given(columns.dischargeSaturation_K),
        time_s[0],
        time_s[time_s.length - 1],
      ],
    );
  }
}

const selectReconversions = `select circuit_id as "circuitId", extract(epoch from from_at)::float8 as "from_s",
  extract(epoch from done_until)::float8 as "doneUntil_s", before from reconversion`;

/** Whoever changes the registry, or what stored readings are converted by, holds this until the commit. */
export async function lockRegistry(client: Queryable): Promise<void> {
  await client.query('select version from registry_version for update');
}
