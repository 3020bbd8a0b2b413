import type { Picture, Question, QuantityName, Subject } from '../../../api/study.js';
import { hasCourse, quantitiesOf, quantityWords } from './quantity-words.js';

/** What the address of the page holds: a question, and which groups are compared. All left out: nothing is asked yet. */
export type StudySearch = Partial<Question> & { first?: string; second?: string };

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
  const picture = course && (of === 'modules' || !hasCourse(quantityName)) ? 'distribution' : wanted;
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
    range: of === 'circuits' ? search.range : undefined,
    days: search.days ?? (picture === 'trend' || picture === 'share' ? 365 : 28),
    to: search.to,
    period: search.period,
  };
}
