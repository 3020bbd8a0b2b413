import type { Statement } from '@coldrounds/core';
import type { FleetUnit } from '../../registry/fleet.js';
import type { KindOfChange } from '../../pages/round/urgency-change.js';
import { dayWords, statementWords } from '../mail/quantity-words.js';
import type { MailLine, MailMessage } from '../mail/message.js';
import type { UnitProblems } from '../unit-problems.js';
import type { Measures } from '../wish.js';

/** What a digest is made of, for one person. */
export interface DigestContent {
  /** Units by urgency, as the round counts them. */
  byUrgency: readonly number[];
  /** The first of them in the round's order. */
  today: readonly UnitProblems[];
  thisWeek: readonly UnitProblems[];
  /** Since the last digest; null: not known so far back. */
  changes: { kind: KindOfChange; count: number; units: readonly FleetUnit[] }[] | null;
  handed: { unit: FleetUnit; headline: Statement; due: Date | null; overdue: boolean }[];
}

export interface Reader {
  measures: Measures;
  timeZone: string;
}

const many = (number: number, one: string): string => `${number} ${number === 1 ? one : `${one}s`}`;
const needs = (number: number): string => (number === 1 ? 'needs' : 'need');
export const pathOf = ({ site, key }: FleetUnit): string => `/units/${site.key}/${key}`;
export const nameOf = ({ site, name }: FleetUnit): string => `${site.name}, ${name}`;

/** A unit with the problem that comes first, in the words of its reader. */
export function unitLine({ unit, problems }: UnitProblems, { measures }: Reader): MailLine {
  const [first] = problems;
  const said = first?.sentences.map((one) => statementWords(one, measures, unit.site.timeZone));
  const words = said === undefined ? '' : `: ${said.join(' ')}`;
  const more = problems.length > 1 ? ` And ${many(problems.length - 1, 'more problem')}.` : '';
  return { text: `${nameOf(unit)}${words}${more}`, path: pathOf(unit) };
}

function unitPart(
  heading: string,
  shown: readonly UnitProblems[],
  count: number,
  reader: Reader,
): MailMessage['parts'] {
  if (shown.length === 0) return [];
  const rest = count - shown.length;
  const lines = shown.map((unit) => unitLine(unit, reader));
  return [
    { heading, lines: rest > 0 ? [...lines, { text: `and ${many(rest, 'more unit')}`, path: '/' }] : lines },
  ];
}

const changeWords: Record<KindOfChange, string> = {
  new: 'New on the round',
  worse: 'More urgent',
  better: 'Less urgent',
  gone: 'No longer on the round',
};

const changeLine = ({ kind, count, units }: NonNullable<DigestContent['changes']>[number]): MailLine => {
  const rest = count - units.length;
  return {
    text: `${changeWords[kind]}: ${units.map(nameOf).join('; ')}${rest > 0 ? `; and ${many(rest, 'more unit')}` : ''}`,
    path: '/changes',
  };
};

/** The digest of one person as a message. */
export function digestMessage(content: DigestContent, reader: Reader): MailMessage {
  const [today = 0, thisWeek = 0, nextVisit = 0] = content.byUrgency;
  const changes = content.changes?.filter(({ count }) => count > 0) ?? [];
  const opening =
    today + thisWeek + nextVisit === 0
      ? 'No unit needs a look.'
      : `${many(today, 'unit')} ${needs(today)} a look today, ${thisWeek} this week, ${nextVisit} at the next visit.`;
  return {
    subject:
      today === 0
        ? 'Coldrounds: no unit needs a look today'
        : `Coldrounds: ${many(today, 'unit')} ${needs(today)} a look today`,
    opening,
    parts: [
      ...(content.handed.length === 0
        ? []
        : [
            {
              heading: 'Handed over to you',
              lines: content.handed.map(({ unit, headline, due, overdue }) => ({
                text: `${nameOf(unit)}: ${statementWords(headline, reader.measures, unit.site.timeZone)}${
                  due === null
                    ? ''
                    : ` Due ${dayWords(due, unit.site.timeZone)}${overdue ? ', overdue' : ''}.`
                }`,
                path: pathOf(unit),
              })),
            },
          ]),
      ...unitPart('Today', content.today, today, reader),
      ...unitPart('This week', content.thisWeek, thisWeek, reader),
      ...(content.changes === null
        ? []
        : [
            {
              heading: 'Since the last digest',
              lines: changes.length === 0 ? [{ text: 'Nothing has changed.' }] : changes.map(changeLine),
            },
          ]),
    ],
    link: { words: 'The round', path: '/' },
  };
}

/** Units that need a look today, and did not before. */
export function alertMessage(units: readonly UnitProblems[], reader: Reader, most = 20): MailMessage {
  const shown = units.slice(0, most);
  const [{ unit }] = units;
  return {
    subject: units.length === 1 ? `Today: ${nameOf(unit)}` : `Today: ${units.length} units need a look`,
    opening:
      units.length === 1
        ? 'A unit needs a look today.'
        : `${units.length} units need a look today that did not before, or for one reason more.`,
    parts: unitPart('Today', shown, units.length, reader),
    link: { words: 'The round', path: '/' },
  };
}

export const testMessage = (name: string): MailMessage => ({
  subject: 'Coldrounds: a test',
  opening: `This is the test that ${name} asked for. Messages from this server arrive.`,
  parts: [],
  link: { words: 'The round', path: '/' },
});
