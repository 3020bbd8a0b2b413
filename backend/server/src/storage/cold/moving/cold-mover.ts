import { monthStart_s } from '@coldrounds/core';
import type pg from 'pg';
import type { Database } from '../../connection/database.js';
import { telemetryTables, type TelemetryTable } from '../../schema/telemetry-tables.js';
import { dropEmptyParts, weekStart_ms } from '../../schema/time-series.js';
import { ColdManifest } from '../cold-manifest.js';
import { ColdStoreError, type ColdPlace } from '../cold-place.js';
import { isUnfinished, unfinishedName } from '../cold-tables.js';
import type { Duck } from '../duck.js';
import { moveMonth, settle, type Move, type MoveStep } from './move-month.js';

const day_ms = 86_400_000;
/** Says in the folder or bucket whose it is. */
const markName = 'coldrounds-cold-store.json';
/**
 * Some 35 circuits at 10 s: a file of 150 MB, which is written anew with each week of its month, in minutes and in 0.8 GB of memory
 * or disk. Judgement, no source.
 */
const mostRows = 10_000_000;
/** A move that meets a change of its rows is begun again so many times, then left to the next run. */
const attempts = 3;

export interface ColdMoverParts {
  database: Database;
  place: ColdPlace;
  duck: Duck;
  after_days: number;
  /** How long readings are kept in all; null: for ever. */
  retention_days: number | null;
  /** Rows that a file is expected to have of its month at most. */
  most_rows?: number;
  reached?: (step: MoveStep) => void | Promise<void>;
  /** True: end after the move at hand. */
  stopped?: () => boolean;
}

export interface MovedRows {
  rows: number;
  /** Names of partitions that are empty now and gone. */
  dropped: string[];
}

const moverLock = `hashtext('coldrounds'), hashtext('cold-store')`;

/** Moves old readings into the cold store, and removes what is past its retention there. */
export class ColdMover {
  private readonly manifest: ColdManifest;

  constructor(private readonly parts: ColdMoverParts) {
    this.manifest = new ColdManifest(parts.database);
  }

  /** Everything that is due. Null: another process is at it. */
  async run(now = new Date()): Promise<MovedRows | null> {
    const client = await this.parts.database.pool.connect();
    let broken = true;
    try {
      const { rows } = await client.query<{ free: boolean }>(
        `select pg_try_advisory_lock(${moverLock}) as free`,
      );
      const moved = rows[0].free ? await this.runAlone(now) : null;
      if (rows[0].free) await client.query(`select pg_advisory_unlock(${moverLock})`);
      broken = false;
      return moved;
    } finally {
      // Of a run that failed the lock goes with its connection, a moment later.
      client.release(broken);
    }
  }

  private async runAlone(now: Date): Promise<MovedRows> {
    await this.claim();
    await this.finishOrUndo();
    const horizon = new Date(weekStart_ms(now.getTime() - this.parts.after_days * day_ms));
    const moved: MovedRows = { rows: 0, dropped: [] };
    for (const table of telemetryTables) {
      for (
        let move = await this.next(table, horizon);
        move !== null;
        move = await this.next(table, horizon)
      ) {
        if (this.parts.stopped?.()) return moved;
        moved.rows += await this.move(move);
      }
      moved.dropped.push(...(await dropEmptyParts(this.parts.database.pool, table.name, horizon)));
    }
    const { retention_days } = this.parts;
    await this.manifest.markUnwanted(
      retention_days === null ? null : new Date(now.getTime() - retention_days * day_ms),
    );
    await this.removeUnwanted();
    return moved;
  }

  /** Two databases must not write into one place. */
  private async claim(): Promise<void> {
    const { place } = this.parts;
    const ours = await this.manifest.storeId();
    const text = await place.readText(markName);
    if (text === null) return place.writeText(markName, `${JSON.stringify({ store: ours })}\n`);
    if ((JSON.parse(text) as { store?: string }).store !== ours)
      throw new ColdStoreError(
        'The cold store belongs to another database of Coldrounds. Name a folder or bucket of its own.',
      );
  }

  /** After an end anywhere: a move that was recorded gets its file's name, one that was not leaves nothing. */
  private async finishOrUndo(): Promise<void> {
    const { settle: unfinished } = await this.manifest.unsettled();
    for (const file of unfinished) await settle(this.manifest, this.parts.place, file);
    await this.removeUnwanted();
    for (const name of await this.parts.place.names())
      if (isUnfinished(name)) await this.parts.place.remove(name);
  }

  private async removeUnwanted(): Promise<void> {
    const { remove } = await this.manifest.unsettled();
    for (const { id, name } of remove) {
      await this.parts.place.remove(unfinishedName(name, id));
      if (!(await this.manifest.isWanted(name))) await this.parts.place.remove(name);
      await this.manifest.removed(id);
    }
  }

  private async move(move: Move): Promise<number> {
    const { database, place, duck, reached, most_rows = mostRows } = this.parts;
    const { pool } = database;
    for (let attempt = 1; ; attempt++)
      try {
        return await moveMonth({ pool, manifest: this.manifest, place, duck, most_rows, reached }, move);
      } catch (error) {
        // 40001: a row was changed meanwhile.
        if ((error as pg.DatabaseError).code !== '40001' || attempt >= attempts) throw error;
      }
  }

  /** The oldest rows of any site: of one month and one week at most. */
  private async next(table: TelemetryTable, horizon: Date): Promise<Move | null> {
    const owner =
      table.ownerTable === 'unit'
        ? 'unit o on o.site_id = s.id'
        : `unit u on u.site_id = s.id join ${table.ownerTable} o on o.unit_id = u.id`;
    // What was taken back to be converted anew stays until it is done.
    const waits =
      table.ownerTable === 'circuit'
        ? `not exists (select from reconversion w join circuit c on c.id = w.circuit_id
             join unit v on v.id = c.unit_id where v.site_id = s.id)`
        : 'true';
    const { rows } = await this.parts.database.query<{ siteId: number; siteKey: string; oldest: Date }>(
      `select s.id as "siteId", s.key as "siteKey", min(r.time) as oldest from site s join ${owner}
        cross join lateral (
          select time from ${table.name} where ${table.owner} = o.id and time < $1 order by time limit 1) r
        where ${waits} group by s.id order by 3 limit 1`,
      [horizon],
    );
    if (rows.length === 0) return null;
    const { siteId, siteKey, oldest } = rows[0];
    const nextMonth_ms = 1000 * monthStart_s(oldest.getTime() / 1000, 1);
    const week = weekStart_ms(oldest.getTime()) + 7 * day_ms;
    const from = new Date(Math.floor(oldest.getTime() / day_ms) * day_ms);
    return { table, siteId, siteKey, from, to: new Date(Math.min(nextMonth_ms, week, horizon.getTime())) };
  }
}
