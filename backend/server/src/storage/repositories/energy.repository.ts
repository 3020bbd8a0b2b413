import { readLearned, type CircuitEnergy, type Estimate, type LearnedCircuit } from '@coldrounds/core';
import { Database, type Queryable } from '../connection/database.js';

/** What comparisons found of some circuits. */
export interface KeptEnergy {
  circuitId: number;
  /** Null: nothing gives energy away. */
  energy: CircuitEnergy | null;
}

/** A visit after which savings are counted. */
export interface EnergyVisit {
  findingId: string;
  circuitId: number;
  learned: LearnedCircuit;
  /** Share given away before it, against the normal of then. */
  share: Estimate;
  /** Start of the time that is not counted yet. */
  countedUntil_s: number;
}

export interface KeptSaving {
  findingId: string;
  circuitId: number;
  until_s: number;
  running_h: number;
  energy_J: Estimate;
}

/** Energy of one unit: what is told of its circuits. */
export interface UnitEnergyRow {
  unitId: number;
  circuit: number;
  energy: CircuitEnergy;
}

/** Sums over a site. Uncertainties of circuits go together through what all of them assume: they are added as they are. */
export interface SiteEnergyRow {
  siteId: number;
  units: number;
  given_J_week: Estimate;
}

export interface SavedRow {
  siteId: number;
  unitId: number;
  findingId: string;
  since: Date;
  until: Date;
  energy_J: number;
  uncertainty_J: number;
}

/** How long savings are counted after a visit. */
const counted = `interval '365 days'`;
/** A comparison is a day's; what was told this long before a visit still says what was wrong. */
const before = `interval '14 days'`;

/** Told energy holds while each finding that it follows from is open. */
const stillOpen = `e.ended_at is null and not exists (
  select from unnest(e.conditions) as told(condition) where not exists (
    select from finding f where f.unit_id = c.unit_id and f.subject_key = 'circuit/' || c.number
       and f.condition = told.condition and f.ended_at is null))`;

/** Energy that circuits give away, and what was saved after visits. */
export class EnergyRepository {
  constructor(private readonly database: Database) {}

  async keep(client: Queryable, kept: readonly KeptEnergy[]): Promise<void> {
    const told = kept.flatMap(({ circuitId, energy }) => (energy === null ? [] : [{ circuitId, energy }]));
    const none = kept.filter(({ energy }) => energy === null).map(({ circuitId }) => circuitId);
    if (none.length > 0)
      await client.query(
        'update circuit_energy set ended_at = now() where circuit_id = any($1::int[]) and ended_at is null',
        [none],
      );
    if (told.length > 0)
      await client.query(
        `insert into circuit_energy (circuit_id, energy_j_week, uncertainty_j_week, conditions, document)
         select t.id, t.energy, t.uncertainty, array(select jsonb_array_elements_text(t.document::jsonb->'conditions')),
                t.document::jsonb
           from unnest($1::int[], $2::float8[], $3::float8[], $4::text[]) as t(id, energy, uncertainty, document)
          order by t.id
         on conflict (circuit_id) do update set told_at = now(), ended_at = null, energy_j_week = excluded.energy_j_week,
           uncertainty_j_week = excluded.uncertainty_j_week, conditions = excluded.conditions, document = excluded.document`,
        [
          told.map(({ circuitId }) => circuitId),
          told.map(({ energy }) => energy.energy_J_week?.value ?? null),
          told.map(({ energy }) => energy.energy_J_week?.uncertainty ?? null),
          told.map(({ energy }) => JSON.stringify(energy)),
        ],
      );
  }

  async ofUnits(unitIds: readonly number[]): Promise<UnitEnergyRow[]> {
    if (unitIds.length === 0) return [];
    const { rows } = await this.database.query<UnitEnergyRow>(
      `select c.unit_id as "unitId", c.number as circuit, e.document as energy
         from circuit c join circuit_energy e on e.circuit_id = c.id
        where c.unit_id = any($1::int[]) and ${stillOpen} order by c.unit_id, c.number`,
      [unitIds],
    );
    return rows;
  }

  /** One statement over the fleet: its cost follows what is told, a row for each circuit with a finding of that kind. */
  async bySite(): Promise<SiteEnergyRow[]> {
    const { rows } = await this.database.query<
      Omit<SiteEnergyRow, 'given_J_week'> & { value: number; uncertainty: number }
    >(
      `select u.site_id as "siteId", count(distinct u.id)::int as units, sum(e.energy_j_week) as value,
              sum(e.uncertainty_j_week) as uncertainty
         from circuit_energy e join circuit c on c.id = e.circuit_id join unit u on u.id = c.unit_id
        where e.energy_j_week is not null and ${stillOpen} group by u.site_id`,
    );
    return rows.map(({ value, uncertainty, ...row }) => ({ ...row, given_J_week: { value, uncertainty } }));
  }

  /** What was saved by each visit, counted between two moments; of some sites only where they are named. */
  async saved(
    span: { from_s: number; to_s: number },
    siteIds: readonly number[] | null = null,
  ): Promise<SavedRow[]> {
    const { rows } = await this.database.query<SavedRow>(
      `select u.site_id as "siteId", u.id as "unitId", v.finding_id::text as "findingId", min(v.closed_at) as since,
              max(s.until_at) as until, sum(s.energy_j) as "energy_J", sum(s.uncertainty_j) as "uncertainty_J"
         from energy_saved s join energy_visit v using (finding_id, circuit_id)
         join circuit c on c.id = s.circuit_id join unit u on u.id = c.unit_id
        where s.until_at > to_timestamp($1) and s.until_at <= to_timestamp($2)
          and ($3::int[] is null or u.site_id = any($3))
        group by u.site_id, u.id, v.finding_id order by u.site_id, u.id, v.finding_id`,
      [span.from_s, span.to_s, siteIds],
    );
    return rows;
  }

  /** Begins to count what a visit saves on circuits whose energy was told and whose normal is known. Call before it is learned anew. */
  async beginCounting(
    client: Queryable,
    visit: { findingId: string; circuitIds: readonly number[]; closed_s: number },
  ): Promise<void> {
    await client.query(
      `insert into energy_visit (finding_id, circuit_id, closed_at, learned, share)
       select $1, n.circuit_id, to_timestamp($3), n.learned,
              coalesce(nullif(e.document->'shareAgainstNormal', 'null'), '{"value": 0, "uncertainty": 0}')
         from circuit_normal n join circuit_energy e on e.circuit_id = n.circuit_id
        where n.circuit_id = any($2::int[]) and n.learned is not null and e.energy_j_week is not null
          and e.told_at > to_timestamp($3) - ${before}
       on conflict do nothing`,
      [visit.findingId, visit.circuitIds, visit.closed_s],
    );
  }

  /** Visits of circuits after which savings are still counted. */
  async visits(circuitIds: readonly number[]): Promise<EnergyVisit[]> {
    if (circuitIds.length === 0) return [];
    const { rows } = await this.database.query<Omit<EnergyVisit, 'learned'> & { learned: string }>(
      `select v.finding_id::text as "findingId", v.circuit_id as "circuitId", v.learned, v.share,
              extract(epoch from coalesce(
                (select max(s.until_at) from energy_saved s
                  where s.finding_id = v.finding_id and s.circuit_id = v.circuit_id), v.closed_at))::float8
                as "countedUntil_s"
         from energy_visit v where v.circuit_id = any($1::int[]) and v.closed_at > now() - ${counted}
        order by v.circuit_id, v.finding_id`,
      [circuitIds],
    );
    return rows.flatMap((row) => {
      const learned = readLearned(row.learned);
      return learned === null ? [] : [{ ...row, learned }];
    });
  }

  async keepSavings(client: Queryable, kept: readonly KeptSaving[]): Promise<void> {
    if (kept.length === 0) return;
    await client.query(
      `insert into energy_saved (finding_id, circuit_id, until_at, running_h, energy_j, uncertainty_j)
       select k.finding, k.circuit, to_timestamp(k.until_s), k.hours, k.energy, k.uncertainty
         from unnest($1::bigint[], $2::int[], $3::float8[], $4::real[], $5::float8[], $6::float8[])
              as k(finding, circuit, until_s, hours, energy, uncertainty)
       on conflict do nothing`,
      [
        kept.map(({ findingId }) => findingId),
        kept.map(({ circuitId }) => circuitId),
        kept.map(({ until_s }) => until_s),
        kept.map(({ running_h }) => running_h),
        kept.map(({ energy_J }) => energy_J.value),
        kept.map(({ energy_J }) => energy_J.uncertainty),
      ],
    );
  }
}
