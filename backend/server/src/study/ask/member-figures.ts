import { defaultRatedLife, type AgeingMonth, type DailyQuantity } from '@coldrounds/core';
import type { StudyRepository } from '../../storage/repositories/study.repository.js';
import type { DailyFiguresRepository } from '../../storage/repositories/results/daily-figures.repository.js';
import { daysPerYear, isComparable, ratioTo } from '../backup-cohort.js';
import { dailyFigures, endsOf } from './daily-figures.js';
import type { Member } from './population.js';
import { isDaily, type ModuleQuantity, type Question, type QuantityName } from './question.js';
import { wrongSpans, type SensorSpan } from './wrong-days.js';

const day_s = 86_400;
const year_s = daysPerYear * day_s;

export interface FigureSources {
  days: DailyFiguresRepository;
  study: StudyRepository;
}

/** Figures of members, by quantity and period. */
export interface MemberFigures {
  figures: ReadonlyMap<QuantityName, (number | null)[][]>;
  /** Circuits with days of running that are left out because a sensor was found wrong, and the number of these days. */
  leftOut: { circuits: number; days: number };
}

/** What the days of a circuit have to give so that a quantity follows. */
const fromDays = (name: QuantityName): DailyQuantity[] =>
  isDaily(name)
    ? [name]
    : name === 'life_fraction_year'
      ? ['valveTravel_strokes_day', 'valveReversals_day']
      : [];

/** A quantity that has a figure for each period, and not only one of now. */
export const hasPeriods = (name: QuantityName): boolean =>
  fromDays(name).length > 0 || name === 'wrong_fraction';

/** Quantities of circuits, over the days of the periods or as of now. */
export async function circuitFigures(
  sources: FigureSources,
  members: readonly Member[],
  names: readonly QuantityName[],
  periods: readonly [number, number][],
  { ranges }: Pick<Question, 'ranges'>,
): Promise<MemberFigures> {
  const spans = await sources.study.sensorSpans(...endsOf(periods));
  const units = [...new Set(members.map(({ unit }) => unit))];
  const wanted = [...new Set(names.flatMap(fromDays))];
  const { figures, leftOut } =
    wanted.length === 0
      ? { figures: new Map<DailyQuantity, (number | null)[][]>(), leftOut: { circuits: 0, days: 0 } }
      : await dailyFigures(sources.days, {
          circuitIds: members.map(({ circuit }) => circuit!.id),
          quantities: wanted,
          ranges,
          periods,
          wrong: wrongSpans(units, spans),
        });
  const headrooms = names.includes('headroom_K')
    ? await sources.study.headrooms()
    : new Map<number, number>();
  const wrongNow = wrongSpans(
    units,
    spans.filter(({ to_s }) => to_s === Infinity),
  );
  const ofNow = (of: (member: Member) => number | null) => periods.map(() => members.map(of));
  const found = (name: QuantityName): (number | null)[][] => {
    if (isDaily(name)) return figures.get(name)!;
    switch (name) {
      case 'life_fraction_year':
        return periods.map((_, period) =>
          members.map((member, place) =>
            lifeFraction(
              member,
              figures.get('valveTravel_strokes_day')![period]![place]!,
              figures.get('valveReversals_day')![period]![place]!,
            ),
          ),
        );
      case 'headroom_K':
        return ofNow(({ circuit }) =>
          wrongNow.has(circuit!.id) ? null : (headrooms.get(circuit!.id) ?? null),
        );
      case 'capacity_W':
        return ofNow(({ unit }) => unit.nominalCapacity_W);
      case 'kv_m3_h':
        return ofNow(({ circuit }) => circuit!.entry.valve.kv_m3_h || null);
      default:
        return ofNow(({ unit }) => yearsSince(unit.commissionedOn, periods.at(-1)![1]));
    }
  };
  return { figures: new Map(names.map((name) => [name, found(name)])), leftOut };
}

const yearsSince = (date: string | null, now_s: number): number | null =>
  date === null ? null : Math.max(0, (now_s - Date.parse(date) / 1000) / year_s);

/** Part of the valve's rated life that a year at this pace takes: of full strokes or of reversals, whichever goes first. */
function lifeFraction({ circuit }: Member, travel: number | null, reversals: number | null): number | null {
  if (travel === null || reversals === null) return null;
  const rated = circuit!.entry.valve.ratedLife;
  const byMaker = rated?.fullStrokes !== undefined || rated?.reversals !== undefined;
  const life = byMaker ? rated! : defaultRatedLife;
  return (
    daysPerYear * Math.max(travel / (life.fullStrokes ?? Infinity), reversals / (life.reversals ?? Infinity))
  );
}

/** Quantities of modules, as of their last month with a test that can be compared. */
export async function moduleFigures(
  { study }: FigureSources,
  members: readonly Member[],
  names: readonly QuantityName[],
): Promise<MemberFigures> {
  const ageing = new Map((await study.ageing()).map((each) => [each.moduleId, each]));
  const figures = new Map<QuantityName, (number | null)[][]>(
    names.map((name) => [
      name,
      [
        members.map(({ module }) => {
          const own = ageing.get(module!.id);
          if (own === undefined) return null;
          if (name === 'closingReserve') return own.closingReserve;
          const months = (own.months ?? []).filter(isComparable);
          return months.length === 0 ? null : moduleFigure(name as MonthQuantity, months, own.baseline);
        }),
      ],
    ]),
  );
  return { figures, leftOut: { circuits: 0, days: 0 } };
}

/** Under half a year between the first and the last month a pace is not told. Judgement, no source. */
const leastSpan_years = 0.5;

type MonthQuantity = Exclude<ModuleQuantity, 'closingReserve'>;

function moduleFigure(
  name: MonthQuantity,
  months: readonly AgeingMonth[],
  { capacitance_F, esr_Ohm }: { capacitance_F: number | null; esr_Ohm: number | null },
): number | null {
  const [first, last] = [months[0]!, months.at(-1)!];
  switch (name) {
    case 'capacitance_fraction':
      return ratioTo(capacitance_F, last.capacitance_F);
    case 'esr_fraction':
      return ratioTo(esr_Ohm, last.esr_Ohm);
    case 'moduleAge_years':
      return last.age_d / daysPerYear;
    case 'moduleTemperature_K':
      return months.reduce((sum, month) => sum + month.meanTemperature_K!, 0) / months.length;
    case 'capacitanceLoss_fraction_year': {
      const years = (last.age_d - first.age_d) / daysPerYear;
      const [before, now] = [first, last].map((month) => ratioTo(capacitance_F, month.capacitance_F));
      return years < leastSpan_years || before === null || now === null ? null : (before! - now!) / years;
    }
  }
}

/** Share of the days of each period on which a sensor stood as found wrong; null where its circuit sent nothing. */
export async function sensorFigures(
  sources: FigureSources,
  members: readonly Member[],
  periods: readonly [number, number][],
): Promise<MemberFigures> {
  const circuits = [...new Set(members.map(({ circuit }) => circuit!.id))];
  const { figures } = await dailyFigures(sources.days, {
    circuitIds: circuits,
    quantities: ['running_h_day'],
    ranges: [],
    periods,
    wrong: new Map(),
  });
  const place = new Map(circuits.map((id, index) => [id, index]));
  const spans = new Map<string, SensorSpan[]>();
  for (const span of await sources.study.sensorSpans(...endsOf(periods))) {
    if (span.subject.kind !== 'sensor' || span.subject.circuit === undefined) continue;
    const key = `${span.unitId}/${span.subject.circuit}/${span.subject.sensor}`;
    spans.set(key, [...(spans.get(key) ?? []), span]);
  }
  const wrong = periods.map(([from_s, to_s], period) =>
    members.map(({ unit, number, circuit, sensor }) => {
      if (figures.get('running_h_day')![period]![place.get(circuit!.id)!] === null) return null;
      const own = spans.get(`${unit.id}/${number}/${sensor}`);
      if (own === undefined) return 0;
      let days = 0;
      for (let day = from_s; day < to_s; day += day_s)
        days += Number(own.some((span) => span.from_s < day + day_s && span.to_s > day));
      return (days * day_s) / (to_s - from_s);
    }),
  );
  return { figures: new Map([['wrong_fraction', wrong]]), leftOut: { circuits: 0, days: 0 } };
}
