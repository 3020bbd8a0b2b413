import {
  unpackMonths,
  type AgeingMonth,
  type ModuleBaseline,
  type SensorVerdict,
  type StudiedMonth,
} from '@coldrounds/core';
import type { Queryable } from '../connection/database.js';

export interface CircuitFigures {
  circuitId: number;
  steadyMinutes: number;
  superheatMean_K: number | null;
  superheatSpread_K: number | null;
  floodbackFraction: number | null;
  huntingFraction: number | null;
  valveTravel_strokes_day: number | null;
  valveReversals_day: number | null;
}

export interface ModuleAgeing {
  moduleId: number;
  /** null, as the months: assessed before they were worked out. */
  baseline: ModuleBaseline | null;
  months: StudiedMonth[] | null;
  /** As of the last assessment; null: not known. */
  closingReserve: number | null;
  closingTime_s: number | null;
}

/** A finding on a sensor and the time over which it stood; Infinity: it stands. */
export interface SensorFindingSpan extends SensorVerdict {
  unitId: number;
  from_s: number;
  to_s: number;
}

/** A question that somebody has named. */
export interface SavedQuestion {
  id: number;
  name: string;
  question: string;
  sites: string[];
  personId: number | null;
  who: string;
  savedAt: Date;
}

/** When and at what a visit closed a finding. */
export interface Visited {
  unitId: number;
  at_s: number;
  /** Number of the circuit or module that the finding was about; null: of another kind. */
  circuit: number | null;
  module: number | null;
}

const visited = `unit_id as "unitId", extract(epoch from decided_at)::float8 as at_s,
              (finding #>> '{subject,circuit}')::int as circuit, (finding #>> '{subject,module}')::int as module`;

/** Figures over the whole fleet. */
export class StudyRepository {
  constructor(private readonly database: Queryable) {}

  /**
   * Means over days, weighted by steady minutes; the spread is that of all values, within days and between them; travel
   * and reversals over the minutes in which the valve was seen. The same as core's `summarise` of the windows.
   */
  async circuits(from_s: number): Promise<CircuitFigures[]> {
    const weighted = (value: string) =>
      `sum(${value} * steady_minutes) / nullif(sum(steady_minutes) filter (where ${value} is not null), 0)`;
    const mean = 'superheat_mean_k::float8';
    const { rows } = await this.database.query<CircuitFigures>(
      `select circuit_id as "circuitId", sum(steady_minutes)::float8 as "steadyMinutes",
              ${weighted(mean)} as "superheatMean_K",
              sqrt(greatest(0, ${weighted(`(superheat_spread_k::float8 ^ 2 + ${mean} ^ 2)`)}
                - (${weighted(mean)}) ^ 2)) as "superheatSpread_K",
              ${weighted('floodback_share')} as "floodbackFraction",
              sum(hunting_minutes) / nullif(sum(judged_minutes), 0) as "huntingFraction",
              sum(valve_travel_strokes) * 1440 / nullif(sum(valve_minutes), 0) as "valveTravel_strokes_day",
              sum(valve_reversals) * 1440 / nullif(sum(valve_minutes), 0) as "valveReversals_day"
         from circuit_day where day >= to_timestamp($1) group by circuit_id`,
      [from_s],
    );
    return rows;
  }

  /** What is known of the ageing of each assessed module. */
  async ageing(): Promise<ModuleAgeing[]> {
    const { rows } = await this.database.query<Omit<ModuleAgeing, 'months'> & { packed: Buffer | null }>(
      `select module_id as "moduleId", baseline, ageing_months as packed,
              closing_reserve::float8 as "closingReserve", closing_time_s::float8 as "closingTime_s" from module_result`,
    );
    return rows.map(({ packed, ...known }) => ({
      ...known,
      months: packed === null ? null : unpackMonths(packed),
    }));
  }

  /** The months of each assessed module with all that is known of them. */
  async months(): Promise<Map<number, AgeingMonth[]>> {
    const { rows } = await this.database.query<{ id: number; months: AgeingMonth[] | null }>(
      `select module_id as id, detail->'ageing' as months from module_result`,
    );
    return new Map(rows.map(({ id, months }) => [id, months ?? []]));
  }

  /** What could be given back of each circuit's superheat, as of its last assessment, by its id. */
  async headrooms(): Promise<Map<number, number>> {
    const { rows } = await this.database.query<{ id: number; headroom: number }>(
      'select circuit_id as id, headroom_k::float8 as headroom from circuit_result where headroom_k is not null',
    );
    return new Map(rows.map(({ id, headroom }) => [id, headroom]));
  }

  /**
   * Findings on sensors, and on what is registered of them, that stood at any time of a span: from when the condition was
   * first seen in the data, be it before the finding was opened.
   */
  async sensorSpans(from_s: number, to_s: number): Promise<SensorFindingSpan[]> {
    const { rows } = await this.database.query<Omit<SensorFindingSpan, 'to_s'> & { to_s: number | null }>(
      `select * from (
         select f.unit_id as "unitId", f.condition, f.document->'subject' as subject, f.certainty, f.document->'error' as error,
                extract(epoch from f.ended_at)::float8 as to_s,
                least(extract(epoch from f.opened_at)::float8, (f.document->>'firstSeen_s')::float8, (
                  select min((c.document->>'firstSeen_s')::float8) from finding_change c where c.finding_id = f.id)) as from_s
           from finding f where f.source >= 'sensors/' and f.source < 'sensors0'
            and (f.ended_at is null or f.ended_at > to_timestamp($1))) as spans
        where from_s < $2`,
      [from_s, to_s],
    );
    return rows.map((row) => ({ ...row, to_s: row.to_s ?? Infinity }));
  }

  /** Units, with the circuit or module, that had a finding of a condition at any time of a span. */
  async havingHad(
    condition: string,
    from_s: number,
    to_s: number,
  ): Promise<{ unitId: number; circuit: number | null; module: number | null }[]> {
    const { rows } = await this.database.query<{
      unitId: number;
      circuit: number | null;
      module: number | null;
    }>(
      `select distinct unit_id as "unitId", (document #>> '{subject,circuit}')::int as circuit,
              (document #>> '{subject,module}')::int as module
         from finding where condition = $1 and opened_at < to_timestamp($3) and (ended_at is null or ended_at > to_timestamp($2))`,
      [condition, from_s, to_s],
    );
    return rows;
  }

  /** In how many units of each site a condition has been found at any time. */
  async conditions(): Promise<{ condition: string; siteId: number; units: number }[]> {
    const { rows } = await this.database.query<{ condition: string; siteId: number; units: number }>(
      `select f.condition, u.site_id as "siteId", count(distinct f.unit_id)::int as units
         from finding f join unit u on u.id = f.unit_id where u.retired_at is null group by 1, 2`,
    );
    return rows;
  }

  async savedQuestions(): Promise<SavedQuestion[]> {
    const { rows } = await this.database.query<SavedQuestion>(
      `select id, name, question, sites, person_id as "personId", who, saved_at as "savedAt"
         from study_question order by lower(name), id`,
    );
    return rows;
  }

  async saveQuestion(saved: Omit<SavedQuestion, 'id' | 'savedAt'>): Promise<number> {
    const { rows } = await this.database.query<{ id: number }>(
      `insert into study_question (name, question, sites, person_id, who) values ($1, $2, $3, $4, $5) returning id`,
      [saved.name, saved.question, saved.sites, saved.personId, saved.who],
    );
    return rows[0]!.id;
  }

  async forgetQuestion(id: number): Promise<void> {
    await this.database.query('delete from study_question where id = $1', [id]);
  }

  /** Edits of units by people, with the documents before and after, as far as they hold from a moment. */
  async registrySteps(): Promise<{ unitId: number; at_s: number; before: object; after: object }[]> {
    const { rows } = await this.database.query<{
      unitId: number;
      at_s: number;
      before: object;
      after: object;
    }>(
      `select unit_id as "unitId", extract(epoch from holds_from)::float8 as at_s, before, after
         from registry_change
        where unit_id is not null and kind in ('edit', 'document') and holds_from is not null
          and before is not null and after is not null order by id`,
    );
    return rows;
  }

  /** Closed findings whose visit found a cause of the list. */
  async closedVisits(): Promise<(Visited & { cause: string })[]> {
    const { rows } = await this.database.query<Visited & { cause: string }>(
      `select ${visited}, document #>> '{seen,cause}' as cause
         from decision where kind = 'close' and document #>> '{seen,kind}' = 'cause' order by id`,
    );
    return rows;
  }

  /** Of each module the voltages at which its self-tests of a span began, by days since the epoch; by an index alone. */
  async selfTestVoltages(
    from_s: number,
    to_s: number,
  ): Promise<{ moduleId: number; days: number[]; voltages_V: number[] }[]> {
    const { rows } = await this.database.query<{ moduleId: number; days: number[]; voltages_V: number[] }>(
      `select module_id as "moduleId", array_agg(day order by started_at) as days,
              array_agg(voltage_before_v order by started_at) as "voltages_V"
         from (select module_id, started_at, floor(extract(epoch from started_at) / 86400)::int as day, voltage_before_v
                 from closing_result
                where kind = 'self-test' and voltage_before_v is not null
                  and started_at >= to_timestamp($1) and started_at < to_timestamp($2)) as test
        group by module_id order by module_id`,
      [from_s, to_s],
    );
    return rows;
  }

  /** Parts that visits changed, as they were named. */
  async changedParts(): Promise<(Visited & { part: string })[]> {
    const { rows } = await this.database.query<Visited & { part: string }>(
      `select ${visited}, part
         from decision, jsonb_array_elements_text(document->'parts') as part
        where kind = 'close' and jsonb_typeof(document->'parts') = 'array' order by id`,
    );
    return rows;
  }
}
