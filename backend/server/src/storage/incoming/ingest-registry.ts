import type { CircuitEntry, SparkplugPoint } from '@coldrounds/core/telemetry';
import type { Queryable } from '../connection/database.js';
import type { CircuitFacts, FactsTimeline } from '../fleet.js';

/** What ingestion needs to know of a unit. */
export interface IngestUnit {
  site: string;
  unit: string;
  unitId: number;
  refrigerant: string;
  altitude_m: number;
  evaporator: CircuitFacts['evaporator'];
  reversible: boolean;
  reporting: CircuitFacts['reporting'];
  circuits: {
    id: number;
    number: number;
    entry: CircuitEntry;
    /** What held of it until when, oldest first; left out: it never changed. */
    past?: FactsTimeline;
    /** Its stored readings are being converted anew: those from `doneUntil_s` on are still converted by `before`. */
    pending?: { doneUntil_s: number; before: FactsTimeline };
  }[];
  modules: { id: number; number: number }[];
  /** Left out or empty: its gateway speaks SenML. */
  sparkplug?: SparkplugPoint[];
}

/** What ingestion needs to know, and the number of the registry's change that it is as of. */
export interface IngestRegistry {
  version: number;
  units: IngestUnit[];
}

export async function loadIngestUnits(database: Queryable): Promise<IngestRegistry> {
  // First, so that a change meanwhile is noticed when the readings are stored.
  const version = await registryVersion(database);
  const { rows: units } = await database.query<IngestUnit>(
    `select site.key as site, unit.key as unit, unit.id as "unitId", unit.refrigerant, unit.evaporator, unit.reversible,
            unit.reporting, unit.sparkplug, site.altitude_m,
            coalesce((select jsonb_agg(jsonb_build_object('id', id, 'number', number, 'entry', entry))
                      from circuit where unit_id = unit.id and retired_at is null), '[]') as circuits,
            coalesce((select jsonb_agg(jsonb_build_object('id', id, 'number', number))
                      from module where unit_id = unit.id and retired_at is null), '[]') as modules
     from unit join site on site.id = unit.site_id where unit.retired_at is null`,
  );
  const circuits = new Map(units.flatMap((unit) => unit.circuits.map((circuit) => [circuit.id, circuit])));
  const { rows: pasts } = await database.query<{ id: number; until_s: number; facts: CircuitFacts }>(
    'select circuit_id as id, extract(epoch from until)::float8 as until_s, facts from circuit_past order by circuit_id, until',
  );
  for (const { id, until_s, facts } of pasts) {
    const circuit = circuits.get(id);
    if (circuit !== undefined) (circuit.past ??= []).push({ until_s, facts });
  }
  const { rows: waiting } = await database.query<{ id: number; done_s: number; before: FactsTimeline }>(
    'select circuit_id as id, extract(epoch from done_until)::float8 as done_s, before from reconversion',
  );
  for (const { id, done_s, before } of waiting) {
    const circuit = circuits.get(id);
    if (circuit !== undefined) circuit.pending = { doneUntil_s: done_s, before };
  }
  return { version, units };
}

async function registryVersion(database: Queryable): Promise<number> {
  const { rows } = await database.query<{ version: number }>('select version from registry_version');
  return rows[0].version;
}

/** The registry was changed after readings were converted by it. */
export class RegistryChangedError extends Error {
  override name = 'RegistryChangedError';
}

/** Keeps the registry as it is until the end of the transaction; throws where it is not as of this change any more. */
export async function holdRegistry(client: Queryable, version: number): Promise<void> {
  const { rows } = await client.query<{ version: number }>('select version from registry_version for share');
  if (rows[0].version !== version) throw new RegistryChangedError('The registry was changed meanwhile.');
}
