import {
  mergeWrongRefrigerant,
  rankRound,
  type Finding,
  type RoundRow,
  type Urgency,
} from '@coldrounds/core';
import { iso, siteReference, unitReference, type SiteReference, type UnitReference } from '../references.js';
import { thinned } from '../thinned.js';
import type { ProgressService } from '../../live/progress.service.js';
import { unitName, type FleetUnit } from '../../registry/fleet.js';
import type { FleetService } from '../../registry/fleet.service.js';
import type { EvidenceRepository } from '../../storage/repositories/evidence.repository.js';
import type { FindingRepository } from '../../storage/repositories/finding.repository.js';
import { column } from '../../storage/repositories/float-arrays.js';
import type { ModuleRepository } from '../../storage/repositories/module.repository.js';
import type { ReadingRepository } from '../../storage/repositories/reading.repository.js';
import { recorded, type RecordedFinding } from '../../findings/recorded.js';
import { quietNote } from './quiet-note.js';

interface CircuitEvidence {
  circuit: number;
  time_s: number[];
  superheat_K: (number | null)[];
  valveOpening_pct: (number | null)[];
  floodbackLimit_K: number;
}

/** A unit on the round, with the evidence that is drawn beside its findings. */
export interface RoundUnit {
  rank: number;
  site: SiteReference;
  unit: UnitReference;
  urgency: Urgency;
  waiting: Finding['waiting'];
  findings: RecordedFinding[];
  lastReading: string | null;
  evidence: CircuitEvidence[];
  moduleEvidence: { module: number; time_s: number[]; reserve: (number | null)[] }[];
}

export interface RoundParts {
  fleet: FleetService;
  findings: FindingRepository;
  readings: ReadingRepository;
  evidence: EvidenceRepository;
  modules: ModuleRepository;
  progress: Pick<ProgressService, 'progress'>;
}

const most = 120;

/** The round: findings ranked by core, with the evidence that is drawn beside them. */
export class RoundService {
  constructor(
    private readonly parts: RoundParts,
    private readonly now_s: () => number = () => Date.now() / 1000,
  ) {}

  async round(query: { at_s: number | null; site?: string; urgency?: string }) {
    const { fleet, findings, readings, progress } = this.parts;
    const asOf_s = query.at_s ?? this.now_s();
    const everything = await fleet.fleet();
    const units = everything.units.filter(({ site }) => query.site === undefined || site.key === query.site);
    const [stored, newest, progressNow] = await Promise.all([
      query.at_s === null ? findings.open() : findings.openAt(query.at_s),
      readings.newest_s(
        units.flatMap(({ circuits }) => circuits.map(({ id }) => id)),
        query.at_s ?? undefined,
      ),
      progress.progress(),
    ]);
    const byUnit = new Map<number, RecordedFinding[]>();
    for (const finding of stored)
      byUnit.set(finding.unitId, [...(byUnit.get(finding.unitId) ?? []), recorded(finding)]);
    const byName = new Map(units.map((unit) => [unitName(unit), unit]));
    const ranked = rankRound(
      units.map((unit) => ({
        key: unitName(unit),
        findings: mergeWrongRefrigerant(byUnit.get(unit.id) ?? [], unit.circuits.length),
      })),
    );
    const all = [...ranked.rows, ...ranked.watching];
    const shown = all.filter(({ urgency }) => query.urgency === undefined || urgency === query.urgency);
    const lastReading = (unit: FleetUnit) => {
      const times = unit.circuits.flatMap(({ id }) => newest.get(id) ?? []);
      return times.length === 0 ? null : iso(Math.max(...times));
    };
    const rows = await this.withEvidence(shown, byName, asOf_s, lastReading);
    const calling = new Set(all.map(({ key }) => key));
    const count = (urgency: string) => all.filter((row) => row.urgency === urgency).length;
    const quiet = units.filter((unit) => !calling.has(unitName(unit)));
    return {
      asOf: iso(asOf_s),
      progress: progressNow,
      counts: {
        units: units.length,
        circuits: units.reduce((sum, { circuits }) => sum + circuits.length, 0),
        modules: units.reduce((sum, { modules }) => sum + modules.length, 0),
        today: count('today'),
        thisWeek: count('this-week'),
        nextVisit: count('next-visit'),
        watch: count('watch'),
        quiet: quiet.length,
        silent: all.filter((row) => row.findings.some(({ condition }) => condition === 'no-telemetry'))
          .length,
      },
      sites: everything.sites.map(siteReference),
      units: rows,
      quiet:
        query.urgency !== undefined
          ? []
          : quiet.map((unit) => {
              const last = lastReading(unit);
              return {
                site: siteReference(unit.site),
                unit: unitReference(unit),
                lastReading: last,
                note: quietNote(last, asOf_s),
              };
            }),
    };
  }

  private async withEvidence(
    rows: RoundRow[],
    byName: Map<string, FleetUnit>,
    asOf_s: number,
    lastReading: (unit: FleetUnit) => string | null,
  ): Promise<RoundUnit[]> {
    const subjects = rows.map((row) => {
      const unit = byName.get(row.key)!;
      const circuits = new Set<number>();
      const modules = new Set<number>();
      for (const { subject } of row.findings) {
        if (subject.kind === 'circuit' || subject.kind === 'sensor') circuits.add(subject.circuit);
        if (subject.kind === 'module') modules.add(subject.module);
        if (subject.kind === 'unit') for (const { number } of unit.circuits) circuits.add(number);
      }
      return {
        row,
        unit,
        circuits: unit.circuits.filter(({ number }) => circuits.has(number)),
        modules: unit.modules.filter(({ number }) => modules.has(number)),
      };
    });
    const [traces, assessments] = await Promise.all([
      this.parts.evidence.lastDay(
        subjects.flatMap(({ circuits }) => circuits.map(({ id }) => id)),
        asOf_s,
      ),
      this.parts.modules.assessments(subjects.flatMap(({ modules }) => modules.map(({ id }) => id))),
    ]);
    const traceOf = new Map(traces.map((trace) => [trace.circuitId, trace]));
    return subjects.map(({ row, unit, circuits, modules }) => ({
      rank: row.rank,
      site: siteReference(unit.site),
      unit: unitReference(unit),
      urgency: row.urgency,
      waiting: { score: row.waiting, sentence: row.findings[0].waiting.sentence },
      findings: row.findings as RecordedFinding[],
      lastReading: lastReading(unit),
      evidence: circuits.flatMap(({ id, number, entry }) => {
        const trace = traceOf.get(id);
        if (trace === undefined) return [];
        return [
          {
            circuit: number,
            time_s: [...trace.time_s],
            superheat_K: column(trace.superheat_K),
            valveOpening_pct: column(trace.valveOpening_pct),
            floodbackLimit_K: entry.floodbackLimit_K,
          },
        ];
      }),
      moduleEvidence: modules.flatMap(({ id, number }) => {
        const history = (assessments.get(id)?.detail.reserveHistory ?? []).filter(
          ({ time_s }) => time_s <= asOf_s,
        );
        const points = thinned(history, most);
        return points.length === 0
          ? []
          : [
              {
                module: number,
                time_s: points.map(({ time_s }) => time_s),
                reserve: points.map(({ reserve }) => reserve),
              },
            ];
      }),
    }));
  }
}
