import type { DailyQuantity, StudiedMonth } from '@coldrounds/core';
import type { ModuleAgeing, StudyRepository } from '../../storage/repositories/study.repository.js';
import type { FigurePieces } from '../figures/kept-figures.js';
import { daysPerYear, isComparable, ratioTo } from '../backup-cohort.js';
import { dailyFigures, endsOf, type FigureAt } from './daily-figures.js';
import type { Member } from './population.js';
import {
  isDaily,
  moduleQuantities,
  type ModuleQuantity,
  type Question,
  type QuantityName,
} from './question.js';
import { isWear, wearFigure } from './valve-life.js';
import { wrongSpans, type SensorSpan, type WrongSpans } from './wrong-days.js';

const day_s = 86_400;
const year_s = daysPerYear * day_s;

export interface FigureSources {
  days: FigurePieces;
  study: StudyRepository;
}

export interface MemberFigures {
  /** By period and member; NaN: not known. */
  figures: ReadonlyMap<QuantityName, FigureAt>;
  /** Circuits with days of running that are left out because a sensor was found wrong, and the number of these days. */
  leftOut: { circuits: number; days: number };
}

export const knownOrNull = (figure: number): number | null => (Number.isNaN(figure) ? null : figure);

/** Figures of all members in one period. */
export function valuesOf(figure: FigureAt, period: number, members: number): Float64Array {
  const values = new Float64Array(members);
  for (let place = 0; place < members; place++) values[place] = figure(period, place);
  return values;
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

/** Of a module since it was new, so that what came before a change is in what comes after it. */
const sinceNew: readonly QuantityName[] = ['capacitanceLoss_fraction_year', 'moduleAge_years'];

/** What a change can move within months. */
export const canBeMoved = (name: QuantityName): boolean => hasPeriods(name) && !sinceNew.includes(name);

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
      ? { figures: new Map<DailyQuantity, FigureAt>(), leftOut: { circuits: 0, days: 0 } }
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
  const found = (name: QuantityName): FigureAt => {
    if (isDaily(name)) return figures.get(name)!;
    if (isWear(name)) {
      const travel = figures.get('valveTravel_strokes_day')!;
      const reversals = figures.get('valveReversals_day')!;
      return (period, place) =>
        wearFigure(name, members[place]!, {
          travel_strokes_day: travel(period, place),
          reversals_day: reversals(period, place),
          to_s: periods[period]![1],
        });
    }
    const ofNow = figureOfNow(name, { headrooms, wrongNow, now_s: periods.at(-1)![1] });
    return (_, place) => ofNow(members[place]!);
  };
  return { figures: new Map(names.map((name) => [name, found(name)])), leftOut };
}

/** Of the last assessment, or of the registry. */
function figureOfNow(
  name: QuantityName,
  known: { headrooms: ReadonlyMap<number, number>; wrongNow: WrongSpans; now_s: number },
): (member: Member) => number {
  switch (name) {
    case 'headroom_K':
      return ({ circuit }) =>
        known.wrongNow.has(circuit!.id) ? NaN : (known.headrooms.get(circuit!.id) ?? NaN);
    case 'capacity_W':
      return ({ unit }) => unit.nominalCapacity_W;
    case 'kv_m3_h':
      return ({ circuit }) => circuit!.entry.valve.kv_m3_h || NaN;
    default:
      return ({ unit }) => yearsSince(unit.commissionedOn, known.now_s);
  }
}

const yearsSince = (date: string | null, now_s: number): number =>
  date === null ? NaN : Math.max(0, (now_s - Date.parse(date) / 1000) / year_s);

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
  const figures = new Map(
    names.map((name): [QuantityName, FigureAt] => [
      name,
      (period, place) => figureOf(name, place, periods[period]!) ?? NaN,
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
  const running = figures.get('running_h_day')!;
  const spans = new Map<string, SensorSpan[]>();
  for (const span of await sources.study.sensorSpans(...endsOf(periods))) {
    if (span.subject.kind !== 'sensor' || span.subject.circuit === undefined) continue;
    const key = `${span.unitId}/${span.subject.circuit}/${span.subject.sensor}`;
    spans.set(key, [...(spans.get(key) ?? []), span]);
  }
  const own = members.map(({ unit, number, circuit, sensor }) => ({
    circuit: place.get(circuit!.id)!,
    spans: spans.get(`${unit.id}/${number}/${sensor}`),
  }));
  const wrong: FigureAt = (period, member) => {
    const { circuit, spans: found } = own[member]!;
    if (Number.isNaN(running(period, circuit))) return NaN;
    if (found === undefined) return 0;
    const [from_s, to_s] = periods[period]!;
    let days = 0;
    for (let day = from_s; day < to_s; day += day_s)
      days += Number(found.some((span) => span.from_s < day + day_s && span.to_s > day));
    return (days * day_s) / (to_s - from_s);
  };
  return { figures: new Map([['wrong_fraction', wrong]]), leftOut: { circuits: 0, days: 0 } };
}
