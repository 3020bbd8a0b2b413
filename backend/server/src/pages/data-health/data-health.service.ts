import {
  circuitSeriesColumns,
  latenessEdges_s,
  mergeWrongRefrigerant,
  whatIsMissing,
} from '@coldrounds/core';
import { NotKnownError, type FleetService } from '../../registry/fleet.service.js';
import { entryOf } from '../../registry/changing/unit-entry.js';
import type { UnitPath } from '../../registry/paths.js';
import type { NotJudged, NotJudgedRepository } from '../../storage/assessment/not-judged.repository.js';
import type {
  DataHealthRepository,
  HealthQuery,
  HealthTotals,
  HourOfUnit,
  UnitHealthRow,
} from '../../storage/delivery/data-health.repository.js';
import type { FactsRepository } from '../../storage/registry/facts.repository.js';
import type { FindingRepository } from '../../storage/repositories/findings/finding.repository.js';
import type { FleetRepository } from '../../storage/repositories/fleet.repository.js';
import type { NormalRepository } from '../../storage/repositories/results/normal.repository.js';
import type { SignalRepository } from '../../storage/assessment/circuit-signals.repository.js';
import { recorded } from '../../findings/recorded.js';
import { Kept } from '../../study/kept.js';
import { iso, siteReference } from '../references.js';
import { wordsOf } from '../round/words.js';
import { cannotBeJudged } from './cannot-be-judged.js';

export interface DataHealthParts {
  fleet: FleetService;
  registry: Pick<FleetRepository, 'sites'>;
  dataHealth: DataHealthRepository;
  signals: SignalRepository;
  findings: Pick<FindingRepository, 'open'>;
  notJudged: Pick<NotJudgedRepository, 'ofUnit'>;
  normals: Pick<NormalRepository, 'states'>;
  facts: Pick<FactsRepository, 'pendingOf'>;
}

export type HealthListQuery = Pick<HealthQuery, 'sites' | 'sort' | 'descending' | 'limit'> & {
  words?: string;
  /** From 1. */
  page: number;
};

const hour_s = 3600;
/** Four weeks of a calendar. */
const shownHours = 28 * 24;

/** Whose telemetry comes, how late and how much of it: for the fleet, for a site, for a unit. */
export class DataHealthService {
  private readonly countedSince: Kept<number | null>;
  /** Of the whole fleet: worked out seldom, as its cost follows the fleet. */
  private readonly totals: Kept<HealthTotals>;

  constructor(
    private readonly parts: DataHealthParts,
    private readonly now_s: () => number = () => Date.now() / 1000,
  ) {
    this.countedSince = new Kept(() => parts.dataHealth.countedSince_s());
    this.totals = new Kept(() => parts.dataHealth.totals({ sites: null, words: [] }));
  }

  async fleet(query: HealthListQuery) {
    const { rows, ...list } = await this.list(query);
    return { ...list, units: rows.map(rowView) };
  }

  async site(key: string, query: Omit<HealthListQuery, 'sites'>) {
    const site = (await this.parts.registry.sites()).find((one) => one.key === key);
    if (site === undefined) throw new NotKnownError(`There is no site ${key}.`);
    const { rows, ...list } = await this.list({ ...query, sites: null }, key);
    const calendar = await this.calendar(rows.map(({ unitId }) => unitId));
    return {
      ...{
        ...list,
        site: siteReference(site),
        countedSince: calendar.countedSince,
        calendarFrom: calendar.from,
      },
      units: rows.map((row) => ({ ...rowView(row), calendar: calendar.of(row.unitId) })),
    };
  }

  async unit(path: UnitPath) {
    const { fleet, dataHealth, signals, findings, notJudged, normals, facts } = this.parts;
    const unit = await fleet.unit(path);
    const ids = unit.circuits.map(({ id }) => id);
    const [row, lateness, reports, open, failures, states, converting, calendar] = await Promise.all([
      dataHealth.ofUnit(unit.id),
      dataHealth.lateness(unit.id),
      signals.reports(ids),
      findings.open(unit.id),
      notJudged.ofUnit(unit.id),
      normals.states(ids),
      facts.pendingOf(ids),
      this.calendar([unit.id]),
    ]);
    const circuits = unit.circuits.map(({ id, number }) => {
      const normal = states.normals.get(id);
      return {
        number,
        signals: reports.get(id) ?? null,
        converting: converting.some(({ circuitId }) => circuitId === id),
        plateausSoFar: normal === undefined || normal.learnedFrom_s !== null ? null : normal.seen,
      };
    });
    return {
      asOf: iso(row?.asOf_s ?? this.now_s()),
      site: siteReference(unit.site),
      unit: { key: unit.key, name: unit.name },
      health: row === null ? null : rowView(row),
      ...{ countedSince: calendar.countedSince, calendarFrom: calendar.from, calendar: calendar.of(unit.id) },
      lateness: lateness.map((steps, bin) => ({
        from_s: bin === 0 ? null : latenessEdges_s[bin - 1],
        to_s: latenessEdges_s[bin] ?? null,
        steps,
      })),
      circuits: circuits.map(({ number, signals: report }) => ({
        number,
        ...(report === null
          ? { from: null, to: null, signals: [] }
          : {
              ...{ from: iso(report.from_s), to: iso(report.to_s) },
              signals: circuitSeriesColumns.map((name) => {
                const { newest_s, ...signal } = report.signals[name];
                return { name, ...signal, newest: isoOrNull(newest_s) };
              }),
            }),
      })),
      findings: mergeWrongRefrigerant(open.map(recorded), unit.circuits.length)
        .filter(({ subject, condition }) => subject.kind === 'sensor' || ofData.has(condition))
        .map(({ id, condition, subject, headline, urgency }) => ({
          id,
          condition,
          subject,
          headline,
          urgency,
        })),
      cannotBeJudged: cannotBeJudged({
        evaporator: unit.evaporator,
        neverHeard: unit.heardAt == null,
        silent: open.some(({ document }) => document.condition === 'no-telemetry'),
        newest_s: row?.newest_s ?? null,
        circuits,
        verdicts: open.map(({ document }) => document),
        missing: whatIsMissing(entryOf(unit)).map(({ fact, cost, part }) => ({
          ...{ fact, cost },
          part: part.kind === 'unit' ? 'unit' : partWords(part.kind, part.number),
        })),
        failures: oncePerReason(failures),
      }),
    };
  }

  private async list({ words, page, ...query }: HealthListQuery, site?: string) {
    const { dataHealth } = this.parts;
    const filter = { sites: query.sites, site, words: wordsOf(words) };
    const whole = site === undefined && filter.sites === null && filter.words.length === 0;
    const [rows, totals] = await Promise.all([
      dataHealth.page({ ...query, ...filter, offset: (page - 1) * query.limit }),
      whole ? this.totals.get() : dataHealth.totals(filter),
    ]);
    return {
      rows,
      totals: totalsView(totals),
      asOf: totals.asOf_s === null ? null : iso(totals.asOf_s),
      page,
      pages: Math.max(1, Math.ceil(totals.units / query.limit)),
    };
  }

  /** Samples that came and that are missing in each hour of the last four weeks, as columns. */
  private async calendar(unitIds: readonly number[]) {
    const to_s = Math.floor(this.now_s() / hour_s) * hour_s + hour_s;
    const from_s = to_s - shownHours * hour_s;
    const [hours, countedSince_s] = await Promise.all([
      this.parts.dataHealth.hours(unitIds, from_s),
      this.countedSince.get(),
    ]);
    const byUnit = new Map<number, HourOfUnit[]>(unitIds.map((id) => [id, []]));
    for (const hour of hours) byUnit.get(hour.unitId)?.push(hour);
    return {
      from: iso(from_s),
      countedSince: countedSince_s === null ? null : iso(countedSince_s),
      of: (unitId: number) => columnsOf(byUnit.get(unitId) ?? [], from_s),
    };
  }
}

/** Findings that say something of how telemetry comes. */
const ofData = new Set([
  'no-telemetry',
  'missing-telemetry',
  'incomplete-telemetry',
  'clocks-drift-apart',
  'wrong-refrigerant',
]);

const partWords = (kind: string, number: number) => `${kind === 'module' ? 'backup module' : kind} ${number}`;

function oncePerReason(failures: readonly NotJudged[]): { part: string; reason: string }[] {
  const told = failures.map(({ kind, number, reason }) => ({
    part: partWords(kind === 'module' || kind === 'closing' ? 'module' : 'circuit', number),
    reason,
  }));
  return [...new Map(told.map((one) => [`${one.part} ${one.reason}`, one])).values()];
}

function columnsOf(hours: readonly HourOfUnit[], from_s: number): { samples: number[]; missing: number[] } {
  const samples = new Array<number>(shownHours).fill(0);
  const missing = new Array<number>(shownHours).fill(0);
  for (const hour of hours) {
    const place = Math.round((hour.hour_s - from_s) / hour_s);
    if (place < 0 || place >= shownHours) continue;
    samples[place] = hour.samples;
    missing[place] = hour.missing;
  }
  return { samples, missing };
}

const isoOrNull = (time_s: number | null) => (time_s === null ? null : iso(time_s));

const rowView = (row: UnitHealthRow) => ({
  site: row.site,
  siteName: row.siteName,
  unit: row.unit,
  name: row.name,
  silent: row.silent,
  neverHeard: row.neverHeard,
  lastMessage: isoOrNull(row.lastMessage_s),
  newestReading: isoOrNull(row.newest_s),
  expected: row.expected === null ? null : Math.round(row.expected),
  received: row.received,
  missing: row.missing,
  lost: row.lost,
  messages: row.messages,
  steps: row.steps,
  repeats: row.repeats,
  history: row.history,
  latenessP50_s: row.latenessP50_s,
  latenessP95_s: row.latenessP95_s,
  clock: row.clock,
  catchingUp: row.catchingUp,
  historyUntil: isoOrNull(row.historyUntil_s),
});

const totalsView = ({ asOf_s: _asOf, ...totals }: HealthTotals) => totals;
