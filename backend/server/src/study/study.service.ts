import { lastDaysFrom_s, type AgeingMonth } from '@coldrounds/core';
import type { Fleet, FleetModule, FleetUnit } from '../registry/fleet.js';
import type { FleetService } from '../registry/fleet.service.js';
import type { ModulePath } from '../registry/paths.js';
import { ratingOf } from '../registry/rating.js';
import type { FindingRepository } from '../storage/repositories/findings/finding.repository.js';
import type {
  CircuitFigures,
  ModuleAgeing,
  StudyRepository,
} from '../storage/repositories/study.repository.js';
import { backupCohort, isComparable, ratioTo, type StudiedModule } from './backup-cohort.js';
import {
  circuitCohorts,
  leastSteady_min,
  sortedCircuits,
  studiedCircuits,
  type CircuitRow,
} from './circuit-study.js';
import { Kept } from './kept.js';
import { cohorts } from './quantiles.js';
import type { BackupQuery, CircuitPageQuery, CircuitQuery, ModuleGroup, ModuleQuery } from './queries.js';

export interface StudyParts {
  fleet: FleetService;
  findings: FindingRepository;
  study: StudyRepository;
}

/** One month of one module, against what the module had when new. */
export interface ModuleMonth extends ModulePath, AgeingMonth {
  cohort: string;
  /** Against the module's own new value, or the rated one where it was not watched when new. */
  capacitanceRatio: number | null;
  esrRatio: number | null;
  newValueFrom: 'own' | 'rated';
}

const moduleCohort: Record<ModuleGroup, (unit: FleetUnit, module: FleetModule) => string> = {
  rating: (_unit, { entry }) => ratingOf(entry),
  refrigerant: (unit) => unit.refrigerant,
  firmware: (unit) => unit.controllerFirmware,
  climate: (unit) => unit.site.climate,
};

/** Spans for which figures are kept at once. */
const mostSpans = 8;

interface FoundCircuits {
  group: CircuitQuery['group'];
  days: number;
  circuits: CircuitRow[];
  /** Circuits left out because they hardly ran. */
  tooLittle: number;
  leftOut: { level: number; levelAndSwings: number };
  cohorts: ReturnType<typeof circuitCohorts>;
}

/** How circuits and backup modules behave in the field, by cohort. */
export class StudyService {
  private readonly figures = new Map<number, Kept<Awaited<ReturnType<StudyRepository['circuits']>>>>();
  private readonly ageing: Kept<ModuleAgeing[]>;
  private readonly backups = new Map<string, Kept<Awaited<ReturnType<StudyService['backupStudy']>>>>();
  private last: { of: string; figures: unknown; fleet: unknown; study: FoundCircuits } | undefined;

  constructor(
    private readonly parts: StudyParts,
    private readonly now_s: () => number = () => Date.now() / 1000,
  ) {
    this.ageing = new Kept(() => parts.study.ageing());
  }

  /** Cohorts of all circuits, and one page of the circuits. */
  async circuits({ site, words, sort, descending, page, limit, ...query }: CircuitPageQuery) {
    const { circuits, ...study } = await this.everyCircuit(query);
    const wanted = words
      .toLowerCase()
      .split(/\s+/)
      .filter((word) => word !== '');
    const found =
      site === undefined && wanted.length === 0
        ? circuits
        : circuits.filter(
            (row) =>
              (site === undefined || row.site === site) &&
              wanted.every((word) => `${row.site} ${row.unit} ${row.cohort}`.toLowerCase().includes(word)),
          );
    const from = (page - 1) * limit;
    return {
      ...study,
      circuits: sortedCircuits(found, sort, descending).slice(from, from + limit),
      total: found.length,
      page,
      pages: Math.max(1, Math.ceil(found.length / limit)),
    };
  }

  /** Figures are kept for a while; what sensor findings take out of them is as of now. */
  async everyCircuit({ group, days, sites = null }: CircuitQuery): Promise<FoundCircuits> {
    const [whole, all, verdicts] = await Promise.all([
      this.parts.fleet.fleet(),
      this.figuresOver(days),
      this.parts.findings.sensorVerdicts(),
    ]);
    const [fleet, figures] = sites === null ? [whole, all] : ofSites(sites, whole, all);
    const of = JSON.stringify([group, days, sites, verdicts]);
    const { last } = this;
    if (last !== undefined && last.of === of && last.figures === figures && last.fleet === fleet)
      return last.study;
    const enough = figures.filter(({ steadyMinutes }) => steadyMinutes >= leastSteady_min);
    const circuits = studiedCircuits(
      fleet,
      new Map(enough.map((entry) => [entry.circuitId, entry])),
      verdicts,
      group,
    );
    const count = (kind: CircuitRow['leftOut']) => circuits.filter(({ leftOut }) => leftOut === kind).length;
    const study = {
      group,
      days,
      circuits,
      tooLittle: figures.length - enough.length,
      leftOut: { level: count('level'), levelAndSwings: count('level-and-swings') },
      cohorts: circuitCohorts(circuits),
    };
    // What few may see is worked out for them each time, or it would push out what all see.
    if (sites === null) this.last = { of, figures, fleet, study };
    return study;
  }

  private figuresOver(days: number) {
    const known = this.figures.get(days);
    if (known !== undefined) return known.get();
    if (this.figures.size >= mostSpans) this.figures.clear();
    const kept = new Kept(() => this.parts.study.circuits(lastDaysFrom_s(this.now_s(), days)));
    this.figures.set(days, kept);
    return kept.get();
  }

  backup(query: BackupQuery) {
    if (query.sites != null) return this.backupStudy(query);
    const key = `${query.group} ${query.against}`;
    const kept = this.backups.get(key) ?? new Kept(() => this.backupStudy(query));
    this.backups.set(key, kept);
    return kept.get();
  }

  private async backupStudy({ group, against, sites }: BackupQuery) {
    const { modules, notYetKnown } = await this.studied({ group, sites });
    const tested = modules.filter(({ months }) => months.some(isComparable));
    return {
      group,
      against,
      // What is compared with its own new value and what with a rated one never make one curve.
      cohorts: cohorts(tested).flatMap(([cohort, members]) =>
        (['own', 'rated'] as const)
          .map((from) => members.filter(({ baseline }) => baseline.from === from))
          .filter((own) => own.length > 0)
          .map((own) => backupCohort(cohort, own, against)),
      ),
      leftOut: { notYetKnown, withoutTests: modules.length - tested.length },
    };
  }

  async backupMonths(query: ModuleQuery): Promise<ModuleMonth[]> {
    const [{ modules }, months] = await Promise.all([this.studied(query), this.parts.study.months()]);
    return modules.flatMap(({ id, site, unit, module, cohort, baseline }) =>
      (months.get(id) ?? []).map((month) => ({
        site,
        unit,
        module,
        cohort,
        ...month,
        capacitanceRatio: ratioTo(baseline.capacitance_F, month.capacitance_F),
        esrRatio: ratioTo(baseline.esr_Ohm, month.esr_Ohm),
        newValueFrom: baseline.from,
      })),
    );
  }

  private async studied({ group, sites = null }: ModuleQuery) {
    const [{ units }, ageing] = await Promise.all([this.parts.fleet.fleet(), this.ageing.get()]);
    const byId = new Map(ageing.map(({ moduleId, ...rest }) => [moduleId, rest]));
    const modules: (StudiedModule & { id: number; site: string; unit: string; module: number })[] = [];
    let notYetKnown = 0;
    for (const unit of units) {
      if (sites !== null && !sites.includes(unit.site.key)) continue;
      for (const module of unit.modules) {
        const { months, baseline } = byId.get(module.id) ?? { months: null, baseline: null };
        if (months === null || baseline === null) {
          notYetKnown++;
          continue;
        }
        modules.push({
          id: module.id,
          site: unit.site.key,
          unit: unit.key,
          module: module.number,
          cohort: moduleCohort[group](unit, module),
          baseline,
          months,
        });
      }
    }
    return { modules, notYetKnown };
  }
}

/** The units of some sites, and the figures of their circuits. */
function ofSites(
  sites: readonly string[],
  fleet: Fleet,
  figures: readonly CircuitFigures[],
): [Fleet, CircuitFigures[]] {
  const units = fleet.units.filter(({ site }) => sites.includes(site.key));
  const circuits = new Set(units.flatMap((unit) => unit.circuits.map(({ id }) => id)));
  return [{ ...fleet, units }, figures.filter(({ circuitId }) => circuits.has(circuitId))];
}
