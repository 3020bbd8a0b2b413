import type { Queryable } from '../connection/database.js';

export interface CircuitHeard {
  number: number;
  /** When it came into the registry; null: before that was kept. */
  circuitAddedAt_s: number | null;
  /** Its newest reading; null: none ever came. */
  newestReading_s: number | null;
  /** Usual spacing of its readings as last judged; null: not known. */
  interval_s: number | null;
  /** Its values are sent on change, as the registry says or the values show. */
  onChange: boolean;
  /** As its sensors were checked last: until when, and the newest value of each signal that superheat needs. */
  checkedUntil_s: number | null;
  newestPressure_s: number | null;
  newestTemperature_s: number | null;
  /** Samples of the last 24 h that did not come, and of the 24 h before. */
  missing: number;
  missingBefore: number;
}

export interface LastHeard {
  unitId: number;
  /** Newest reading of any circuit; null: none ever came. */
  newestReading_s: number | null;
  /** When it came into the registry; null: before that was kept. */
  addedAt_s: number | null;
  online: boolean | null;
  onlineSince_s: number | null;
  /** Usual spacing of the unit's readings as last judged; null: not known. */
  interval_s: number | null;
  /** Those in service. */
  circuits: CircuitHeard[];
}

type HeardRow = Omit<LastHeard, 'circuits' | 'newestReading_s' | 'interval_s'> & CircuitHeard;

/** When each unit was last heard. */
export class SilenceRepository {
  constructor(private readonly database: Queryable) {}

  async lastHeard(): Promise<Map<number, LastHeard>> {
    const { rows } = await this.database.query<HeardRow>(
      `select u.id as "unitId", extract(epoch from u.added_at)::float8 as "addedAt_s", u.online,
              extract(epoch from c.added_at)::float8 as "circuitAddedAt_s",
              extract(epoch from u.online_since)::float8 as "onlineSince_s", c.number,
              extract(epoch from r.time)::float8 as "newestReading_s", s.interval_s::float8 as interval_s,
              coalesce(coalesce(u.reporting, s.habits->>'reporting') = 'on-change', false) as "onChange",
              extract(epoch from g.checked_until)::float8 as "checkedUntil_s",
              extract(epoch from g.pressure_at)::float8 as "newestPressure_s",
              extract(epoch from g.temperature_at)::float8 as "newestTemperature_s",
              coalesce(m.last, 0)::int as missing, coalesce(m.before, 0)::int as "missingBefore"
         from unit u join circuit c on c.unit_id = u.id and c.retired_at is null
         left join circuit_state s on s.circuit_id = c.id
         left join circuit_signal g on g.circuit_id = c.id
         left join (
           select circuit_id, sum(expected - received) filter (where hour > now() - interval '25 hours') as last,
                  sum(expected - received) filter (where hour <= now() - interval '25 hours') as before
             from missing_samples where hour > now() - interval '49 hours' group by circuit_id) m on m.circuit_id = c.id
         left join lateral (
           select greatest((select time from reading where circuit_id = c.id order by time desc limit 1),
                           (select max(last_at) from cold_part where table_name = 'reading' and owner_id = c.id)) as time) r on true
        where u.retired_at is null order by u.id, c.number`,
    );
    const units = new Map<number, LastHeard>();
    for (const { unitId, addedAt_s, online, onlineSince_s, ...circuit } of rows) {
      const known = units.get(unitId);
      const unit: LastHeard = known ?? {
        ...{
          unitId,
          addedAt_s,
          online,
          onlineSince_s,
          newestReading_s: null,
          interval_s: null,
          circuits: [],
        },
      };
      unit.circuits.push(circuit);
      unit.newestReading_s = later(unit.newestReading_s, circuit.newestReading_s);
      unit.interval_s = shorter(unit.interval_s, circuit.interval_s);
      units.set(unitId, unit);
    }
    return units;
  }

  /** Units whose past windows were touched by telemetry within the last seconds: their gateways are catching up. */
  async sendingHistory(within_s: number): Promise<Set<number>> {
    const { rows } = await this.database.query<{ unit_id: number }>(
      `select distinct c.unit_id from window_due d join circuit c on c.id = d.circuit_id
        where d.window_start <= now() - interval '2 hours' and d.touched_at > now() - $1 * interval '1 second'`,
      [within_s],
    );
    return new Set(rows.map((row) => row.unit_id));
  }
}

const later = (a: number | null, b: number | null) => (a === null || b === null ? (a ?? b) : Math.max(a, b));
const shorter = (a: number | null, b: number | null) =>
  a === null || b === null ? (a ?? b) : Math.min(a, b);
