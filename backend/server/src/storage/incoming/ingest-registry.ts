import type { CircuitEntry } from '@coldrounds/core/telemetry';
import type { Queryable } from '../connection/database.js';

/** What ingestion needs to know of a unit. */
export interface IngestUnit {
  site: string;
  unit: string;
  unitId: number;
  refrigerant: string;
  altitude_m: number;
  circuits: { id: number; number: number; entry: CircuitEntry }[];
  modules: { id: number; number: number }[];
}

export async function loadIngestUnits(database: Queryable): Promise<IngestUnit[]> {
  const { rows } = await database.query<IngestUnit>(
    `select site.key as site, unit.key as unit, unit.id as "unitId", unit.refrigerant,
            site.altitude_m::float8 as "altitude_m",
            coalesce((select jsonb_agg(jsonb_build_object('id', id, 'number', number, 'entry', entry))
                      from circuit where unit_id = unit.id), '[]') as circuits,
            coalesce((select jsonb_agg(jsonb_build_object('id', id, 'number', number))
                      from module where unit_id = unit.id), '[]') as modules
     from unit join site on site.id = unit.site_id`,
  );
  return rows;
}
