import type { EvaporatorType, Registry, ReportingHabit } from '@coldrounds/core';
import type { Fleet, FleetSite, FleetUnit } from '../fleet.js';
import { Database, type Queryable } from '../connection/database.js';

interface UnitRow {
  id: number;
  site_id: number;
  key: string;
  name: string;
  refrigerant: string;
  nominal_capacity_w: number;
  condenser: 'air' | 'water';
  evaporator: EvaporatorType;
  reversible: boolean;
  reporting: ReportingHabit | null;
  commissioned_on: string;
  controller_firmware: string;
  online: boolean | null;
  online_since: Date | null;
  circuits: FleetUnit['circuits'] | null;
  modules: FleetUnit['modules'] | null;
}

const selectSites = `select id, key, name, altitude_m, time_zone as "timeZone", climate, region, currency,
  energy_price_per_kwh::float8 as "energyPrice_per_kWh" from site`;

const selectUnits = `select u.id, u.site_id, u.key, u.name, u.refrigerant, u.nominal_capacity_w, u.condenser,
  u.evaporator, u.reversible, u.reporting,
  to_char(u.commissioned_on, 'YYYY-MM-DD') as commissioned_on, u.controller_firmware, u.online, u.online_since,
  (select jsonb_agg(jsonb_build_object('id', c.id, 'number', c.number, 'entry', c.entry) order by c.number)
     from circuit c where c.unit_id = u.id) as circuits,
  (select jsonb_agg(jsonb_build_object('id', m.id, 'number', m.number, 'entry', m.entry) order by m.number)
     from module m where m.unit_id = u.id) as modules
  from unit u join site s on s.id = u.site_id`;

const unitOf = (row: UnitRow, site: FleetSite): FleetUnit => ({
  id: row.id,
  site,
  key: row.key,
  name: row.name,
  refrigerant: row.refrigerant,
  nominalCapacity_W: row.nominal_capacity_w,
  condenser: row.condenser,
  evaporator: row.evaporator,
  reversible: row.reversible,
  reporting: row.reporting,
  commissionedOn: row.commissioned_on,
  controllerFirmware: row.controller_firmware,
  online: row.online,
  onlineSince: row.online_since,
  circuits: row.circuits ?? [],
  modules: row.modules ?? [],
});

/** The registry in the store. */
export class FleetRepository {
  constructor(private readonly database: Database) {}

  async load(): Promise<Fleet> {
    const sites = await this.sites();
    const units = await this.database.query<UnitRow>(`${selectUnits} order by s.key, u.key`);
    const byId = new Map(sites.map((site) => [site.id, site]));
    return { sites, units: units.rows.map((row) => unitOf(row, byId.get(row.site_id)!)) };
  }

  /** In the order of their keys. */
  async sites(): Promise<FleetSite[]> {
    const { rows } = await this.database.query<FleetSite>(`${selectSites} order by key`);
    return rows;
  }

  async unit(site: string, key: string): Promise<FleetUnit | null> {
    const { rows } = await this.database.query<UnitRow>(`${selectUnits} where s.key = $1 and u.key = $2`, [
      site,
      key,
    ]);
    return (await this.withSites(rows))[0] ?? null;
  }

  /** The units with these ids, in no order. */
  async units(ids: readonly number[], by: Queryable = this.database): Promise<FleetUnit[]> {
    if (ids.length === 0) return [];
    const { rows } = await by.query<UnitRow>(`${selectUnits} where u.id = any($1)`, [ids]);
    return this.withSites(rows, by);
  }

  /** Units that came into the registry after a moment. */
  async addedAfter(at_s: number): Promise<Set<number>> {
    const { rows } = await this.database.query<{ id: number }>(
      'select id from unit where added_at > to_timestamp($1)',
      [at_s],
    );
    return new Set(rows.map(({ id }) => id));
  }

  /** Another number after every change of the registry; presence is no part of it. */
  async version(): Promise<number> {
    const { rows } = await this.database.query<{ version: number }>('select version from registry_version');
    return rows[0].version;
  }

  private async withSites(units: UnitRow[], by: Queryable = this.database): Promise<FleetUnit[]> {
    const { rows } = await by.query<FleetSite>(`${selectSites} where id = any($1)`, [
      [...new Set(units.map(({ site_id }) => site_id))],
    ]);
    const byId = new Map(rows.map((site) => [site.id, site]));
    return units.map((row) => unitOf(row, byId.get(row.site_id)!));
  }

  /**
   * Adds what is new and updates what is known; takes nothing away, since telemetry may hang on it. Running it again
   * with the same document changes nothing.
   */
  async import(registry: Registry): Promise<void> {
    await this.database.transaction(async (client) => {
      for (const site of registry.sites) {
        const { rows } = await client.query<{ id: number }>(
          `insert into site (key, name, altitude_m, latitude_deg, longitude_deg, time_zone, climate, region, currency,
             energy_price_per_kwh)
           values ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10)
           on conflict (key) do update set name = excluded.name, altitude_m = excluded.altitude_m,
             latitude_deg = excluded.latitude_deg, longitude_deg = excluded.longitude_deg,
             time_zone = excluded.time_zone, climate = excluded.climate, region = excluded.region,
             currency = excluded.currency, energy_price_per_kwh = excluded.energy_price_per_kwh
           returning id`,
          [
            site.key,
            site.name,
            site.altitude_m,
            site.latitude_deg,
            site.longitude_deg,
            site.timeZone,
            site.climate,
            site.region ?? null,
            site.currency ?? null,
            site.energyPrice_per_kWh ?? null,
          ],
        );
        for (const unit of site.units) await this.importUnit(client, rows[0].id, unit);
      }
    });
  }

  private async importUnit(
    client: Pick<Database, 'query'>,
    siteId: number,
    unit: Registry['sites'][number]['units'][number],
  ): Promise<void> {
    const { rows } = await client.query<{ id: number }>(
      `insert into unit (site_id, key, name, refrigerant, nominal_capacity_w, condenser, commissioned_on, controller_firmware,
         evaporator, reversible, reporting)
       values ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11)
       on conflict (site_id, key) do update set name = excluded.name, refrigerant = excluded.refrigerant,
         nominal_capacity_w = excluded.nominal_capacity_w, condenser = excluded.condenser,
         commissioned_on = excluded.commissioned_on, controller_firmware = excluded.controller_firmware,
         evaporator = excluded.evaporator, reversible = excluded.reversible, reporting = excluded.reporting
       returning id`,
      [
        siteId,
        unit.key,
        unit.name,
        unit.refrigerant,
        unit.nominalCapacity_W,
        unit.condenser,
        unit.commissionedOn,
        unit.controllerFirmware,
        unit.evaporator ?? 'dry-expansion',
        unit.reversible ?? false,
        unit.reporting ?? null,
      ],
    );
    for (const [table, entries] of [
      ['circuit', unit.circuits],
      ['module', unit.modules],
    ] as const)
      await client.query(
        `insert into ${table} (unit_id, number, entry)
         select $1, (entry->>'number')::smallint, entry from jsonb_array_elements($2::jsonb) as entry
         on conflict (unit_id, number) do update set entry = excluded.entry`,
        [rows[0].id, JSON.stringify(entries)],
      );
  }
}
