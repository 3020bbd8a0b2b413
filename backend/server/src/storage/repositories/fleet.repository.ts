import type { EvaporatorType, ReportingHabit, SparkplugPoint } from '@coldrounds/core';
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
  commissioned_on: string | null;
  controller_firmware: string;
  assumed: string[];
  sparkplug: SparkplugPoint[];
  retired_at: Date | null;
  heard_at: Date | null;
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
  u.assumed, u.sparkplug, u.retired_at, u.heard_at,
  (select jsonb_agg(jsonb_build_object('id', c.id, 'number', c.number, 'entry', c.entry) order by c.number)
     from circuit c where c.unit_id = u.id and c.retired_at is null) as circuits,
  (select jsonb_agg(jsonb_build_object('id', m.id, 'number', m.number, 'entry', m.entry) order by m.number)
     from module m where m.unit_id = u.id and m.retired_at is null) as modules
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
  assumed: row.assumed,
  sparkplug: row.sparkplug,
  retiredAt: row.retired_at,
  heardAt: row.heard_at,
});

/** The registry in the store. */
export class FleetRepository {
  constructor(private readonly database: Database) {}

  async load(): Promise<Fleet> {
    const sites = await this.sites();
    const units = await this.database.query<UnitRow>(
      `${selectUnits} where u.retired_at is null order by s.key, u.key`,
    );
    const byId = new Map(sites.map((site) => [site.id, site]));
    return { sites, units: units.rows.map((row) => unitOf(row, byId.get(row.site_id)!)) };
  }

  /** In the order of their keys. */
  async sites(): Promise<FleetSite[]> {
    const { rows } = await this.database.query<FleetSite>(`${selectSites} order by key`);
    return rows;
  }

  /** In service or retired. */
  async unit(site: string, key: string, by: Queryable = this.database): Promise<FleetUnit | null> {
    const { rows } = await by.query<UnitRow>(`${selectUnits} where s.key = $1 and u.key = $2`, [site, key]);
    return (await this.withSites(rows, by))[0] ?? null;
  }

  /**
   * In service or retired, in no order. The ids first, by their indexes: compared with a list of pairs, every site and
   * unit was read.
   */
  async named(
    names: readonly { site: string; key: string }[],
    by: Queryable = this.database,
  ): Promise<FleetUnit[]> {
    const { rows } = await by.query<UnitRow>(
      `${selectUnits} where u.id = any(array(
         select named.id from unnest($1::text[], $2::text[]) as n(site, unit)
           join site on site.key = n.site join unit named on named.site_id = site.id and named.key = n.unit))`,
      [names.map(({ site }) => site), names.map(({ key }) => key)],
    );
    return this.withSites(rows, by);
  }

  /** The units in service with these ids, in no order. */
  async units(ids: readonly number[], by: Queryable = this.database): Promise<FleetUnit[]> {
    if (ids.length === 0) return [];
    const { rows } = await by.query<UnitRow>(`${selectUnits} where u.id = any($1) and u.retired_at is null`, [
      ids,
    ]);
    return this.withSites(rows, by);
  }

  /** Units of a site, in service or retired. */
  async ofSite(siteId: number, by: Queryable = this.database): Promise<FleetUnit[]> {
    const { rows } = await by.query<UnitRow>(`${selectUnits} where u.site_id = $1 order by u.key`, [siteId]);
    return this.withSites(rows, by);
  }

  /** Units of several sites, in service or retired, in the order of site and unit names as sites are listed. */
  async ofSites(siteIds: readonly number[], by: Queryable = this.database): Promise<FleetUnit[]> {
    const { rows } = await by.query<UnitRow>(
      `${selectUnits} where u.site_id = any($1) order by s.name, s.key, u.key`,
      [siteIds],
    );
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
}
