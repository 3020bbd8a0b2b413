import type { CircuitEntry, ModuleEntry, UnitEntry } from '@coldrounds/core';
import { Database, type Queryable } from '../connection/database.js';

/** A site as people register it. */
export interface SiteFields {
  key: string;
  name: string;
  altitude_m: number;
  latitude_deg: number | null;
  longitude_deg: number | null;
  timeZone: string;
  climate: string;
  region: string | null;
  currency: string | null;
  energyPrice_per_kWh: number | null;
  /** What of it is not known and only assumed. */
  assumed: string[];
}

export interface RegisteredSite extends SiteFields {
  id: number;
  /** In service, and retired. */
  units: number;
  retired: number;
}

export type ChangeKind = 'add' | 'edit' | 'retire' | 'bring-back' | 'move' | 'document';

export interface NewRegistryChange {
  personId: number | null;
  who: string;
  kind: ChangeKind;
  siteId: number | null;
  unitId: number | null;
  subject: string;
  reason: string;
  /** Null: it was always so. */
  holdsFrom_s: number | null;
  before: object | null;
  after: object | null;
}

export interface RegistryChange {
  id: number;
  changedAt: Date;
  who: string;
  kind: ChangeKind;
  subject: string;
  reason: string;
  holdsFrom: Date | null;
  before: object | null;
  after: object | null;
}

export interface RegisteredUnit {
  id: number;
  key: string;
  name: string;
  refrigerant: string;
  circuits: number;
  modules: number;
  retiredAt: Date | null;
}

const selectSites = `select s.id, s.key, s.name, s.altitude_m,
  s.latitude_deg, s.longitude_deg, s.time_zone as "timeZone", s.climate,
  s.region, s.currency, s.energy_price_per_kwh as "energyPrice_per_kWh", s.assumed,
  (select count(*)::int from unit u where u.site_id = s.id and u.retired_at is null) as units,
  (select count(*)::int from unit u where u.site_id = s.id and u.retired_at is not null) as retired from site s`;

/** What people register, as it stands and as it was changed. Writing is done in the transaction of the caller. */
export class RegistrationRepository {
  constructor(private readonly database: Database) {}

  /** By name; of these alone where keys are given. */
  async sites(keys: readonly string[] | null, by: Queryable = this.database): Promise<RegisteredSite[]> {
    const { rows } = await by.query<RegisteredSite>(
      `${selectSites} where $1::text[] is null or s.key = any($1) order by s.name, s.key`,
      [keys],
    );
    return rows;
  }

  async site(key: string, by: Queryable = this.database): Promise<RegisteredSite | null> {
    const { rows } = await by.query<RegisteredSite>(`${selectSites} where s.key = $1`, [key]);
    return rows[0] ?? null;
  }

  /** Those in service first, by name. */
  async units(siteId: number): Promise<RegisteredUnit[]> {
    const { rows } = await this.database.query<RegisteredUnit>(
      `select id, key, name, refrigerant, retired_at as "retiredAt",
              (select count(*)::int from circuit c where c.unit_id = u.id and c.retired_at is null) as circuits,
              (select count(*)::int from module m where m.unit_id = u.id and m.retired_at is null) as modules
         from unit u where site_id = $1 order by retired_at is not null, name, key`,
      [siteId],
    );
    return rows;
  }

  /** Number of the newest change of a unit; 0: none is noted. */
  async unitVersion(unitId: number, by: Queryable = this.database): Promise<number> {
    const { rows } = await by.query<{ version: number }>(
      'select coalesce(max(id), 0)::bigint as version from registry_change where unit_id = $1',
      [unitId],
    );
    return rows[0].version;
  }

  /** Changes of a unit, or else of a site and its units, newest first. */
  async changes(of: { unitId?: number; siteId?: number }, limit: number): Promise<RegistryChange[]> {
    const { rows } = await this.database.query<RegistryChange>(
      `select id, changed_at as "changedAt", who, kind, subject, reason, holds_from as "holdsFrom", before, after
         from registry_change where ($1::int is not null and unit_id = $1) or ($1::int is null and site_id = $2)
        order by id desc limit $3`,
      [of.unitId ?? null, of.siteId ?? null, limit],
    );
    return rows;
  }

  note(client: Queryable, change: NewRegistryChange): Promise<void> {
    return this.noteAll(client, [change]);
  }

  async noteAll(client: Queryable, changes: readonly NewRegistryChange[]): Promise<void> {
    const column = <Name extends keyof NewRegistryChange>(name: Name) =>
      changes.map((change) => change[name]);
    const json = (name: 'before' | 'after') =>
      changes.map((change) => (change[name] === null ? null : JSON.stringify(change[name])));
    await client.query(
      `insert into registry_change (person_id, who, kind, site_id, unit_id, subject, reason, holds_from, before, after)
       select c.person_id, c.who, c.kind, c.site_id, c.unit_id, c.subject, c.reason, to_timestamp(c.holds_from),
              c.before::jsonb, c.after::jsonb
         from unnest($1::int[], $2::text[], $3::text[], $4::int[], $5::int[], $6::text[], $7::text[], $8::float8[],
                     $9::text[], $10::text[])
              as c(person_id, who, kind, site_id, unit_id, subject, reason, holds_from, before, after)`,
      [
        ...[column('personId'), column('who'), column('kind'), column('siteId'), column('unitId')],
        ...[column('subject'), column('reason'), column('holdsFrom_s'), json('before'), json('after')],
      ],
    );
  }

  /** Keys of sites, and names of units (`site/unit`), that people have changed. */
  async changedByPeople(client: Queryable): Promise<Set<string>> {
    const { rows } = await client.query<{ subject: string }>(
      'select distinct subject from registry_change where person_id is not null',
    );
    return new Set(rows.map(({ subject }) => subject));
  }

  /** Adds the site or updates the one of the same key. */
  async writeSite(client: Queryable, site: SiteFields): Promise<number> {
    const { rows } = await client.query<{ id: number }>(
      `insert into site (key, name, altitude_m, latitude_deg, longitude_deg, time_zone, climate, region, currency,
         energy_price_per_kwh, assumed)
       values ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11)
       on conflict (key) do update set name = excluded.name, altitude_m = excluded.altitude_m,
         latitude_deg = excluded.latitude_deg, longitude_deg = excluded.longitude_deg, time_zone = excluded.time_zone,
         climate = excluded.climate, region = excluded.region, currency = excluded.currency,
         energy_price_per_kwh = excluded.energy_price_per_kwh, assumed = excluded.assumed returning id`,
      [
        ...[site.key, site.name, site.altitude_m, site.latitude_deg, site.longitude_deg, site.timeZone],
        ...[site.climate, site.region, site.currency, site.energyPrice_per_kWh, site.assumed],
      ],
    );
    return rows[0].id;
  }

  /**
   * Adds units or updates those of the same keys, with their circuits and modules; takes nothing away. Gives the units'
   * ids in the order given.
   */
  async writeUnits(
    client: Queryable,
    units: readonly { siteId: number; unit: UnitEntry }[],
  ): Promise<number[]> {
    if (units.length === 0) return [];
    const rows = units.map(({ siteId, unit: { circuits: _circuits, modules: _modules, ...unit } }) => ({
      ...unit,
      siteId,
      evaporator: unit.evaporator ?? 'dry-expansion',
      reversible: unit.reversible ?? false,
      assumed: unit.assumed ?? [],
      sparkplug: unit.sparkplug ?? null,
    }));
    const written = await client.query<{ id: number; site_id: number; key: string }>(
      `insert into unit (site_id, key, name, refrigerant, nominal_capacity_w, condenser, commissioned_on,
         controller_firmware, evaporator, reversible, reporting, assumed, sparkplug)
       select u."siteId", u.key, u.name, u.refrigerant, u."nominalCapacity_W", u.condenser, u."commissionedOn",
              u."controllerFirmware", u.evaporator, u.reversible, u.reporting, u.assumed, coalesce(u.sparkplug, before.sparkplug, '[]')
         from jsonb_to_recordset($1::jsonb) as u("siteId" int, key text, name text, refrigerant text,
              "nominalCapacity_W" real, condenser text, "commissionedOn" date, "controllerFirmware" text,
              evaporator text, reversible boolean, reporting text, assumed text[], sparkplug jsonb)
         left join unit before on before.site_id = u."siteId" and before.key = u.key
       on conflict (site_id, key) do update set name = excluded.name, refrigerant = excluded.refrigerant,
         nominal_capacity_w = excluded.nominal_capacity_w, condenser = excluded.condenser,
         commissioned_on = excluded.commissioned_on, controller_firmware = excluded.controller_firmware,
         evaporator = excluded.evaporator, reversible = excluded.reversible, reporting = excluded.reporting,
         assumed = excluded.assumed, sparkplug = excluded.sparkplug
       returning id, site_id, key`,
      [JSON.stringify(rows)],
    );
    const idOf = new Map(written.rows.map(({ id, site_id, key }) => [`${site_id}/${key}`, id]));
    const ids = units.map(({ siteId, unit }) => idOf.get(`${siteId}/${unit.key}`)!);
    const parts = <Entry extends CircuitEntry | ModuleEntry>(of: (unit: UnitEntry) => Entry[]) =>
      units.flatMap(({ unit }, i) => of(unit).map((entry) => ({ unitId: ids[i], entry })));
    await writeParts(
      client,
      'circuit',
      parts((unit) => unit.circuits),
    );
    await writeParts(
      client,
      'module',
      parts((unit) => unit.modules),
    );
    return ids;
  }

  /** Takes circuits and modules out of service that are not among these numbers. */
  async retireOthers(
    client: Queryable,
    unitId: number,
    kept: { circuits: readonly number[]; modules: readonly number[] },
  ): Promise<void> {
    for (const [table, numbers] of [
      ['circuit', kept.circuits],
      ['module', kept.modules],
    ] as const)
      await client.query(
        `update ${table} set retired_at = now() where unit_id = $1 and retired_at is null and number <> all($2::int[])`,
        [unitId, numbers],
      );
    await this.forgetWork(client, unitId);
  }

  /** Takes a unit out of service: nothing of it is judged any more, and what was open ends. */
  async retire(client: Queryable, unitId: number): Promise<void> {
    await client.query('update unit set retired_at = now() where id = $1', [unitId]);
    await client.query('update finding set ended_at = now() where unit_id = $1 and ended_at is null', [
      unitId,
    ]);
    await client.query('insert into attention_due (unit_id) values ($1)', [unitId]);
    await this.forgetWork(client, unitId);
  }

  async bringBack(client: Queryable, unitId: number): Promise<void> {
    await client.query('update unit set retired_at = null where id = $1', [unitId]);
    await client.query('insert into attention_due (unit_id) values ($1)', [unitId]);
  }

  async move(client: Queryable, unitId: number, siteId: number, key: string): Promise<void> {
    await client.query('update unit set site_id = $2, key = $3 where id = $1', [unitId, siteId, key]);
  }

  /** A circuit or module under a number of another unit; what was found of it at its old place ends. */
  async movePart(
    client: Queryable,
    part: { kind: 'circuit' | 'module'; id: number; unitId: number; number: number },
    to: { unitId: number; number: number; entry: object },
  ): Promise<void> {
    await client.query(
      `update ${part.kind} set unit_id = $2, number = $3, entry = entry || $4::jsonb where id = $1`,
      [part.id, to.unitId, to.number, JSON.stringify(to.entry)],
    );
    await client.query(
      `update finding set ended_at = now() where unit_id = $1 and ended_at is null
          and (subject_key = $2 || '/' || $3::text or ($2 = 'circuit' and subject_key like 'sensor/' || $3::text || '/%'))`,
      [part.unitId, part.kind, part.number],
    );
    await client.query('insert into attention_due (unit_id) select unnest($1::int[])', [
      [part.unitId, to.unitId],
    ]);
    if (part.kind === 'module')
      await client.query(
        `insert into module_due (module_id, touched_at) values ($1, clock_timestamp())
         on conflict (module_id) do update set touched_at = excluded.touched_at`,
        [part.id],
      );
  }

  /** Whether a unit has, or had, a circuit or module of a number: its readings may hang on that. */
  async isTaken(
    client: Queryable,
    kind: 'circuit' | 'module',
    unitId: number,
    number: number,
  ): Promise<boolean> {
    const { rowCount } = await client.query(`select from ${kind} where unit_id = $1 and number = $2`, [
      unitId,
      number,
    ]);
    return rowCount !== 0;
  }

  /** What is due of what is out of service is not waited for. */
  private async forgetWork(client: Queryable, unitId: number): Promise<void> {
    const retired = (table: 'circuit' | 'module') =>
      `(select p.id from ${table} p join unit u on u.id = p.unit_id
         where u.id = $1 and (p.retired_at is not null or u.retired_at is not null))`;
    await client.query(`delete from window_due where circuit_id in ${retired('circuit')}`, [unitId]);
    await client.query(
      `update circuit_state set owed_since = null where circuit_id in ${retired('circuit')}`,
      [unitId],
    );
    await client.query(`delete from module_due where module_id in ${retired('module')}`, [unitId]);
  }
}

async function writeParts(
  client: Queryable,
  table: 'circuit' | 'module',
  parts: readonly { unitId: number; entry: CircuitEntry | ModuleEntry }[],
): Promise<void> {
  if (parts.length === 0) return;
  await client.query(
    `insert into ${table} (unit_id, number, entry)
     select unit_id, (entry::jsonb->>'number')::smallint, entry::jsonb from unnest($1::int[], $2::text[]) as p(unit_id, entry)
     on conflict (unit_id, number) do update set entry = excluded.entry, retired_at = null`,
    [parts.map(({ unitId }) => unitId), parts.map(({ entry }) => JSON.stringify(entry))],
  );
}
