import {
  comingFailures,
  logRank,
  survivalCurve,
  type Lifetime,
  type ModuleBaseline,
  type StudiedMonth,
} from '@coldrounds/core';
import { iso } from '../../pages/references.js';
import type { FleetService } from '../../registry/fleet.service.js';
import type { StudyRepository } from '../../storage/repositories/study.repository.js';
import { daysPerYear, isComparable, ratioTo } from '../backup-cohort.js';
import { fieldsOf, population, type Member } from '../ask/population.js';
import type { Where } from '../ask/question.js';

export interface SurvivalQuestion {
  /** Field of the registry that makes the groups, or `temperature`: thirds by their mean temperature; null: one group. */
  split: string | null;
  where: Where[];
  /** A module falls under the limit with this part of its new capacitance, or this many times its new ESR. */
  capacitance_fraction: number;
  esr_fraction: number;
  sites: readonly string[] | null;
}

const year_s = daysPerYear * 86_400;
const quarters = 4;

interface WatchedModule {
  member: Member;
  lifetime: Lifetime;
  temperature_K: number;
}

/** How long backup modules last, by age, and how many fall under the limit in the quarters to come. */
export class SurvivalService {
  constructor(
    private readonly parts: { fleet: FleetService; study: StudyRepository },
    private readonly now_s: () => number = () => Date.now() / 1000,
  ) {}

  async survival(question: SurvivalQuestion) {
    const { units } = await this.parts.fleet.fleet();
    const members = population(units, { of: 'modules', where: question.where, sites: question.sites });
    const ageing = new Map((await this.parts.study.ageing()).map((each) => [each.moduleId, each]));
    const watched: WatchedModule[] = [];
    const leftOut = { tooLittle: 0, underAtFirst: 0 };
    for (const member of members) {
      const own = ageing.get(member.module!.id);
      const found =
        own?.baseline == null ? 'tooLittle' : lifetimeOf(own.months ?? [], own.baseline, question);
      if (typeof found === 'string') leftOut[found]++;
      else watched.push({ member, ...found });
    }
    const groups = byGroup(watched, question.split);
    const now_s = this.now_s();
    return {
      modules: members.length,
      leftOut,
      groups: [...groups].map(([group, own]) => {
        const { steps, ...curve } = survivalCurve(own.map(({ lifetime }) => lifetime));
        return {
          group,
          modules: own.length,
          failures: curve.failures,
          median_years: curve.median,
          seenUntil_years: curve.seenUntil,
          steps: steps.map(({ age, ...step }) => ({ age_years: age, ...step })),
        };
      }),
      difference: logRank([...groups.values()].map((own) => own.map(({ lifetime }) => lifetime))),
      coming: this.coming(watched, now_s),
    };
  }

  private coming(watched: readonly WatchedModule[], now_s: number) {
    const alive = watched
      .filter(({ lifetime }) => !lifetime.failed)
      .map(({ member, lifetime }) =>
        Math.max(lifetime.exit, (now_s - Date.parse(member.module!.entry.installedOn) / 1000) / year_s),
      );
    if (alive.length === 0) return [];
    return comingFailures(
      watched.map(({ lifetime }) => lifetime),
      alive,
      { period: 1 / 4, periods: quarters, ageStep: 1 / 2, draws: alive.length > 2000 ? 200 : 1000 },
    ).map((each, quarter) => ({
      from: iso(now_s + (quarter * year_s) / 4),
      to: iso(now_s + ((quarter + 1) * year_s) / 4),
      ...each,
    }));
  }
}

/** From the first month with a test that can be compared to the first of two months under the limit, or to the last seen. */
function lifetimeOf(
  all: readonly StudiedMonth[],
  baseline: ModuleBaseline,
  { capacitance_fraction, esr_fraction }: SurvivalQuestion,
): { lifetime: Lifetime; temperature_K: number } | 'tooLittle' | 'underAtFirst' {
  const months = all.filter(isComparable);
  const under = months.map(
    (month) =>
      (ratioTo(baseline.capacitance_F, month.capacitance_F) ?? 1) < capacitance_fraction ||
      (ratioTo(baseline.esr_Ohm, month.esr_Ohm) ?? 1) > esr_fraction,
  );
  // One month alone may be one bad test.
  const first = under.findIndex((is, place) => is && (under[place + 1] ?? false));
  if (months.length < 2) return 'tooLittle';
  if (first === 0) return 'underAtFirst';
  const failed = first > 0;
  const end = failed ? months[first]! : months.at(-1)!;
  const [entry, exit] = [months[0]!, end].map(({ age_d }) => Math.max(0, age_d / daysPerYear));
  if (!(exit! > entry!)) return 'tooLittle';
  return {
    lifetime: { entry: entry!, exit: exit!, failed },
    temperature_K: months.reduce((sum, month) => sum + month.meanTemperature_K!, 0) / months.length,
  };
}

const thirds = ['coolest third', 'middle third', 'warmest third'];

function byGroup(watched: readonly WatchedModule[], split: string | null): Map<string, WatchedModule[]> {
  const ordered = [...watched].sort((a, b) => a.temperature_K - b.temperature_K);
  const third = new Map(
    ordered.map((each, place) => [each, thirds[Math.floor((3 * place) / ordered.length)]!]),
  );
  const name = (each: WatchedModule) =>
    split === null
      ? 'all'
      : split === 'temperature'
        ? third.get(each)!
        : fieldsOf.modules[split]!(each.member);
  const groups = new Map<string, WatchedModule[]>();
  for (const each of watched) groups.set(name(each), [...(groups.get(name(each)) ?? []), each]);
  return new Map([...groups].sort(([a], [b]) => a.localeCompare(b, 'en', { numeric: true })));
}
