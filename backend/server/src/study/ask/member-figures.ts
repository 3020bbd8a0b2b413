import type { DailyQuantity, StudiedMonth } from '@coldrounds/core';
import type { ModuleAgeing, StudyRepository } from '../../storage/repositories/study.repository.js';
import type { DailyFiguresRepository } from '../../storage/repositories/results/daily-figures.repository.js';
import { daysPerYear, isComparable, ratioTo } from '../backup-cohort.js';
import { dailyFigures, endsOf } from './daily-figures.js';
import type { Member } from './population.js';
import {
  isDaily,
  moduleQuantities,
  type ModuleQuantity,
  type Question,
  type QuantityName,
} from './question.js';
import { isWear, wearFigure } from './valve-life.js';
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
  isDaily(name) ? [name] : isWear(name) ? ['valveTravel_strokes_day', 'valveReversals_day'] : [];

const byMonth: readonly QuantityName[] = moduleQuantities.filter((name) => !isOfNow(name));

/** A quantity that has a figure for each period, and not only one of now. */
export const hasPeriods = (name: QuantityName): boolean =>
  (fromDays(name).length > 0 && name !== 'lifeLeft_years') ||
  byMonth.includes(name) ||
  name === 'wrong_fraction';

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
    if (isWear(name))
      return periods.map(([, to_s], period) =>
        members.map((member, place) =>
          wearFigure(name, member, {
            travel_strokes_day: figures.get('valveTravel_strokes_day')![period]![place]!,
            reversals_day: figures.get('valveReversals_day')![period]![place]!,
            to_s,
          }),
        ),
      );
    switch (name) {
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

/**
 * Quantities of modules: as of the last month with a test that can be compared before the end of a span, or of the month
 * of each period.
 */
export async function moduleFigures(
  { study }: FigureSources,
  members: readonly Member[],
  names: readonly QuantityName[],
  periods: readonly [number, number][],
  { picture }: Pick<Question, 'picture'>,
): Promise<MemberFigures> {
  const ageing = new Map((await study.ageing()).map((each) => [each.moduleId, each]));
  const months = members.map(({ module }) => (ageing.get(module!.id)?.months ?? []).filter(isComparable));
  const overTime = picture === 'trend' || picture === 'share';
  const figureOf = (name: QuantityName, place: number, [from_s, to_s]: readonly [number, number]) => {
    const own = ageing.get(members[place]!.module!.id);
    if (own === undefined) return null;
    if (isOfNow(name)) return own[name];
    const until = months[place]!.filter(({ month_s }) => month_s < to_s);
    if (until.length === 0 || (overTime && until.at(-1)!.month_s < from_s)) return null;
    return moduleFigure(name as MonthQuantity, until, own.baseline, overTime);
  };
  const figures = new Map<QuantityName, (number | null)[][]>(
    names.map((name) => [
      name,
      periods.map((period) => members.map((_, place) => figureOf(name, place, period))),
    ]),
  );
  return { figures, leftOut: { circuits: 0, days: 0 } };
}

type OfNow = 'closingReserve' | 'closingTime_s';
/** Known of the last assessment alone. */
function isOfNow(name: QuantityName): name is OfNow {
  return name === 'closingReserve' || name === 'closingTime_s';
}

/** Under half a year between the first and the last month a pace is not told. Judgement, no source. */
const leastSpan_years = 0.5;

type MonthQuantity = Exclude<ModuleQuantity, OfNow>;

/** Of the last of the months; the temperature over time is that of the month alone. */
function moduleFigure(
  name: MonthQuantity,
  months: readonly StudiedMonth[],
  baseline: ModuleAgeing['baseline'],
  overTime: boolean,
): number | null {
  const { capacitance_F, esr_Ohm } = baseline ?? { capacitance_F: null, esr_Ohm: null };
  const [first, last] = [months[0]!, months.at(-1)!];
  switch (name) {
    case 'capacitance_fraction':
      return ratioTo(capacitance_F, last.capacitance_F);
    case 'esr_fraction':
      return ratioTo(esr_Ohm, last.esr_Ohm);
    case 'moduleAge_years':
      return last.age_d / daysPerYear;
    case 'moduleTemperature_K':
      return overTime
        ? last.meanTemperature_K
        : months.reduce((sum, month) => sum + month.meanTemperature_K!, 0) / months.length;
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
