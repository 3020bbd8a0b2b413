import {
  compareFindings,
  mergeWrongRefrigerant,
  urgencies,
  type Finding,
  type Urgency,
} from '@coldrounds/core';
import { nothingFound, unexplained } from '../../findings/attention.js';
import {
  inRoundOrder,
  recorded,
  type RecordedDiagnosis,
  type RecordedFinding,
} from '../../findings/recorded.js';
import type { FleetSite, FleetUnit } from '../../registry/fleet.js';
import type { AttentionRepository } from '../../storage/repositories/findings/attention.repository.js';
import type { DiagnosisRepository } from '../../storage/repositories/findings/diagnosis.repository.js';
import type {
  FindingRepository,
  StoredFinding,
} from '../../storage/repositories/findings/finding.repository.js';
import type { FleetRepository } from '../../storage/repositories/fleet.repository.js';
import type { ModuleRepository } from '../../storage/repositories/results/module.repository.js';
import type { ReadingRepository } from '../../storage/repositories/readings/reading.repository.js';
import { iso, siteReference, unitReference, type SiteReference, type UnitReference } from '../references.js';
import {
  diagnosesAsPlanned,
  findingsAsPlanned,
  type Deferred,
  type DeferralReader,
} from '../../decisions/deferral.js';
import { readCursor, writeCursor, type RoundCursor } from './cursor.js';
import { pastPlaces } from './past-places.js';
import { quietNote } from './quiet-note.js';
import type { Places, RoundQuery } from './round-query.js';
import { wordsOf } from './words.js';

/** A unit on the round, with its diagnoses and findings; each one's picture is asked for by itself. */
export interface RoundUnit {
  rank: number;
  site: SiteReference;
  unit: UnitReference;
  urgency: Urgency;
  waiting: Finding['waiting'];
  /** Since when the first problem is known; null: not worked out yet. */
  since: string | null;
  diagnoses: RecordedDiagnosis[];
  findings: RecordedFinding[];
  lastReading: string | null;
}

export interface RoundParts {
  attention: AttentionRepository;
  registry: Pick<FleetRepository, 'sites' | 'units' | 'load' | 'addedAfter'>;
  findings: FindingRepository;
  diagnoses: DiagnosisRepository;
  deferrals: Pick<DeferralReader, 'of'>;
  readings: ReadingRepository;
  modules: ModuleRepository;
  /** Whether no history waits to be judged, as far as is known. */
  isSettled: () => Promise<boolean>;
}

/** The round, page by page: units in the order that core gives them, each with its findings. */
export class RoundService {
  constructor(
    private readonly parts: RoundParts,
    private readonly now_s: () => number = () => Date.now() / 1000,
  ) {}

  /** What the round of now stands or falls with: while this is the same, so is every page of it. */
  async version(): Promise<string> {
    const [{ version }, settled] = await Promise.all([this.parts.attention.state(), this.parts.isSettled()]);
    return `${version}-${settled ? 1 : 0}-${Math.floor(this.now_s() / 60)}`;
  }

  async round(query: RoundQuery) {
    // To the minute, so that an answer stays the same for as long.
    const asOf_s = query.at_s ?? Math.floor(this.now_s() / 60) * 60;
    const order = query.sort ?? 'urgency';
    const cursor = query.cursor === undefined ? null : readCursor(query.cursor, order);
    const urgency = query.urgency === undefined ? undefined : placeOf(query.urgency);
    const { judgingSince, version } = await this.parts.attention.state();
    const known = query.at_s === null || (judgingSince?.getTime() ?? Infinity) / 1000 <= query.at_s;
    const [{ state, counts, page }, settled, sites] = await Promise.all([
      query.at_s === null
        ? this.places(query, urgency, cursor)
        : known
          ? pastPlaces(this.parts, query, urgency, cursor?.key ?? null)
          : nothingKnown,
      this.parts.isSettled(),
      cursor === null ? this.parts.registry.sites() : Promise.resolve<FleetSite[]>([]),
    ]);
    // Of the round's own order only a stretch is shown where one urgency is asked for; ranks are those of the whole.
    const before = order === 'urgency' ? sum(counts.slice(0, urgency ?? 0)) : 0;
    const rank = cursor?.rank ?? before;
    const shown = page.slice(0, query.limit);
    const last = shown.at(-1);
    return {
      asOf: iso(asOf_s),
      version,
      judgingSince: judgingSince?.toISOString() ?? null,
      known,
      settled,
      counts: {
        units: state.units,
        circuits: state.circuits,
        modules: state.modules,
        ...byUrgency(state.byUrgency),
        silent: state.silent,
        neverHeard: state.neverHeard,
      },
      found: { units: sum(counts), ...byUrgency(counts) },
      sites: sites
        .filter(({ key }) => query.sites?.includes(key) ?? true)
        .sort((a, b) => a.name.localeCompare(b.name))
        .map(siteReference),
      ...(await this.rows(shown, rank, asOf_s, query.at_s)),
      next:
        page.length > shown.length && last
          ? writeCursor({ order, key: last.key, rank: rank + shown.length })
          : null,
    };
  }

  private async places(
    query: RoundQuery,
    urgency: number | undefined,
    cursor: RoundCursor | null,
  ): Promise<Places> {
    const { attention } = this.parts;
    const { site, sites, region } = query;
    const scope = { site, sites, region, words: wordsOf(query.words) };
    const filtered = site !== undefined || region !== undefined || scope.words.length > 0;
    const [state, counts, page] = await Promise.all([
      query.sites == null ? attention.state() : attention.stateOf(query.sites),
      filtered ? attention.count(scope) : null,
      attention.page({ ...scope, urgency }, cursor?.key ?? null, query.limit + 1, query.sort),
    ]);
    return { state, counts: counts ?? state.byUrgency, page };
  }

  /** What is shown of the units, in their order: those with findings, and the quiet ones. */
  private async rows(shown: Places['page'], rank: number, asOf_s: number, at_s: number | null) {
    const { registry, findings, diagnoses, readings } = this.parts;
    const unitIds = shown.map(({ unitId }) => unitId);
    const since = new Map(shown.map(({ unitId, since_s }) => [unitId, since_s]));
    const byId = new Map((await registry.units(unitIds)).map((unit) => [unit.id, unit]));
    const listed = unitIds.flatMap((id) => byId.get(id) ?? []);
    const [stored, diagnosed, deferred, newest] = await Promise.all([
      at_s === null ? findings.openOfUnits(unitIds) : findings.openAt(at_s, unitIds),
      at_s === null ? diagnoses.openOfUnits(unitIds) : diagnoses.openAt(at_s, unitIds),
      // A past round is told as it was found, whatever was decided since.
      at_s === null ? this.parts.deferrals.of(unitIds) : nothingDeferred,
      readings.newest_s(
        listed.flatMap(({ circuits }) => circuits.map(({ id }) => id)),
        at_s ?? undefined,
      ),
    ]);
    const lastReading = (unit: FleetUnit) => {
      const times = unit.circuits.flatMap(({ id }) => newest.get(id) ?? []);
      return times.length === 0 ? null : iso(Math.max(...times));
    };
    const entries = listed.map((unit, index) => ({
      unit,
      rank: rank + index + 1,
      findings: openOn(unit, stored),
      diagnoses: inRoundOrder(diagnosed.filter(({ unitId }) => unitId === unit.id)),
    }));
    const calling = entries.filter((entry) => entry.findings.length > 0);
    return {
      units: calling.map((entry): RoundUnit => ({
        rank: entry.rank,
        site: siteReference(entry.unit.site),
        unit: unitReference(entry.unit),
        ...firstProblem(
          diagnosesAsPlanned(entry.diagnoses, deferred),
          findingsAsPlanned(entry.findings, deferred),
        ),
        since: instantOf(since.get(entry.unit.id)),
        diagnoses: entry.diagnoses,
        findings: entry.findings,
        lastReading: lastReading(entry.unit),
      })),
      quiet: entries
        .filter((entry) => entry.findings.length === 0)
        .map(({ unit }) => {
          const last = lastReading(unit);
          return {
            site: siteReference(unit.site),
            unit: unitReference(unit),
            lastReading: last,
            neverHeard: last === null,
            note: quietNote(last, asOf_s),
          };
        }),
    };
  }
}

/** Urgency and waiting cost of the diagnosis, or of the finding that none explains, that comes first. */
function firstProblem(
  diagnoses: readonly RecordedDiagnosis[],
  findings: readonly RecordedFinding[],
): Pick<RoundUnit, 'urgency' | 'waiting'> {
  const [first] = [
    ...diagnoses.map(({ cause, ...diagnosis }) => ({ ...diagnosis, condition: cause as string })),
    ...unexplained(findings, diagnoses),
  ].sort(compareFindings);
  const { urgency, waiting } = first ?? findings[0];
  return { urgency, waiting };
}

const openOn = (unit: FleetUnit, stored: readonly StoredFinding[]): RecordedFinding[] =>
  mergeWrongRefrigerant(
    stored.filter(({ unitId }) => unitId === unit.id).map(recorded),
    unit.circuits.length,
  ).sort(compareFindings);

const instantOf = (time_s: number | null | undefined) => (time_s == null ? null : iso(time_s));

const sum = (counts: readonly number[]): number => counts.reduce((all, count) => all + count, 0);

const nothingDeferred: Deferred = new Map();

/** Before judging began, nothing is known of any unit. */
const nothingKnown: Places = {
  state: { units: 0, circuits: 0, modules: 0, byUrgency: [0, 0, 0, 0, 0], silent: 0, neverHeard: 0 },
  counts: [0, 0, 0, 0, 0],
  page: [],
};

const placeOf = (urgency: Urgency | 'quiet'): number =>
  urgency === 'quiet' ? nothingFound : urgencies.indexOf(urgency);

const byUrgency = ([today, thisWeek, nextVisit, watch, quiet]: number[]) => ({
  today,
  thisWeek,
  nextVisit,
  watch,
  quiet,
});
