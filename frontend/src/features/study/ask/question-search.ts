import type { ChangeKind, Picture, Question, QuantityName, Subject } from '../../../api/study.js';
import { hasCourse, quantitiesOf, quantityWords } from './quantity-words.js';

/**
 * What the address of the page holds: a question, which groups are compared, and the change before and after which the
 * figure is looked at. All left out: nothing is asked yet.
 */
export type StudySearch = Partial<Question> & {
  first?: string;
  second?: string;
  change?: ChangeKind;
  became?: string;
  /** Days before and after the change. */
  span?: number;
};

/** Events before and after which a figure can be looked at. */
export const changeWords: readonly (readonly [ChangeKind, string])[] = [
  ['firmware', 'another controller firmware'],
  ['setpoint', 'another superheat setpoint'],
  ['charging', 'another charging voltage'],
  ['valve', 'another valve'],
  ['registry', 'any change in the registry'],
  ['part', 'a part changed by a visit'],
  ['visit', 'a visit that found a cause'],
];

const subjects: readonly Subject[] = ['circuits', 'modules', 'sensors'];
const pictures: readonly Picture[] = ['distribution', 'scatter', 'trend', 'share'];

const word = (value: unknown): string | undefined =>
  (typeof value === 'string' && value !== '') || typeof value === 'number' ? String(value) : undefined;
const words = (value: unknown): string[] | undefined => {
  const found = [value].flat().flatMap((each) => word(each) ?? []);
  return found.length === 0 ? undefined : found;
};
const quantity = (value: unknown): QuantityName | undefined =>
  typeof value === 'string' && value in quantityWords ? (value as QuantityName) : undefined;
const number = (value: unknown): number | undefined =>
  value === undefined || value === '' || !Number.isFinite(Number(value)) ? undefined : Number(value);

export function readStudySearch(search: Record<string, unknown>): StudySearch {
  const days = number(search.days);
  const span = number(search.span);
  return {
    of: subjects.find((each) => each === search.of),
    picture: pictures.find((each) => each === search.picture),
    quantity: quantity(search.quantity),
    against: quantity(search.against),
    over: number(search.over),
    split: word(search.split),
    where: words(search.where),
    having: word(search.having),
    range: words(search.range),
    days: days !== undefined && days >= 1 && days <= 1100 ? Math.round(days) : undefined,
    to: /^\d{4}-\d{2}-\d{2}$/.test(String(search.to)) ? String(search.to) : undefined,
    period: search.period === 'week' ? 'week' : undefined,
    first: word(search.first),
    second: word(search.second),
    change: changeWords.find(([each]) => each === search.change)?.[0],
    became: word(search.became),
    span: span !== undefined && span >= 7 && span <= 182 ? Math.round(span) : undefined,
  };
}

const defaultOver: Partial<Record<QuantityName, number>> = {
  huntingFraction: 0.1,
  floodbackFraction: 0.05,
  starvedFraction: 0.05,
  wrong_fraction: 0,
  life_fraction_year: 0.1,
};

/** The question of an address, with what is left out filled in so that it can be asked. */
export function questionOf(search: StudySearch): Question {
  const of = search.of ?? 'circuits';
  const names = quantitiesOf[of];
  const quantityName =
    search.quantity !== undefined && names.includes(search.quantity) ? search.quantity : names[0]!;
  const wanted = search.picture ?? 'distribution';
  const course = wanted === 'trend' || wanted === 'share';
  const picture = course && !hasCourse(quantityName) ? 'distribution' : wanted;
  // One that is open at both ends is being typed.
  const range = (of === 'circuits' ? (search.range ?? []) : []).filter((each) => !each.endsWith(':..'));
  const across =
    search.against !== undefined && names.includes(search.against)
      ? search.against
      : names.find((each) => each !== quantityName);
  return {
    of,
    picture: picture === 'scatter' && across === undefined ? 'distribution' : picture,
    quantity: quantityName,
    against: picture === 'scatter' ? across : undefined,
    over: picture === 'share' ? (search.over ?? defaultOver[quantityName] ?? 0) : undefined,
    split: search.split,
    where: search.where,
    having: search.having,
    range: range.length === 0 ? undefined : range,
    days: search.days ?? (picture === 'trend' || picture === 'share' ? 365 : 28),
    to: search.to,
    period: of === 'modules' ? undefined : search.period,
  };
}

const day_ms = 86_400_000;
const dateOf = (time_ms: number): string => new Date(time_ms).toISOString().slice(0, 10);

/** First and last day (UTC) that a question is of. */
export function datesOf(
  { days, to }: Pick<Question, 'days' | 'to'>,
  now_ms = Date.now(),
): { from: string; to: string } {
  const last = to ?? dateOf(now_ms);
  return { from: dateOf(Date.parse(last) - (days - 1) * day_ms), to: last };
}

/** The same as a question has it: days up to the last, which is left out where it is today. Null: no span. */
export function spanOf(
  from: string,
  to: string,
  now_ms = Date.now(),
): Pick<StudySearch, 'days' | 'to'> | null {
  const days = Math.round((Date.parse(to) - Date.parse(from)) / day_ms) + 1;
  if (!(days >= 1 && days <= 1100)) return null;
  return { days, to: to >= dateOf(now_ms) ? undefined : to };
}
