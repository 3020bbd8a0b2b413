import { quantity, statement } from '@coldrounds/core';
import { describe, expect, it } from 'vitest';
import type { FleetUnit } from '../../registry/fleet.js';
import type { UnitProblems } from '../unit-problems.js';
import { alertMessage, digestMessage, type DigestContent } from './digest-words.js';

const unit = (name: string) =>
  ({ key: name, name, site: { key: 'hall', name: 'Hall', timeZone: 'Europe/Rome' } }) as FleetUnit;
const problems = (name: string, count = 1): UnitProblems => ({
  unit: unit(name),
  problems: Array.from({ length: count }, () => ({
    sentences: [
      statement('The loop is tuned too hard.'),
      statement('Superheat swings by {amplitude}.', { amplitude: quantity('temperature-difference', 5) }),
    ],
    urgency: 'today' as const,
    cause: 'loop',
  })),
});
const content = (given: Partial<DigestContent> = {}): DigestContent => ({
  ...{ byUrgency: [0, 0, 0, 0, 9], today: [], thisWeek: [], changes: null, handed: [] },
  ...given,
});
const reader = { measures: 'si' as const, timeZone: 'Europe/Rome' };

describe('a digest', () => {
  it('says that nothing needs a look rather than nothing at all', () => {
    const message = digestMessage(content(), reader);
    expect(message.subject).toBe('Coldrounds: no unit needs a look today');
    expect(message.opening).toBe('No unit needs a look.');
    expect(message.parts).toEqual([]);
  });

  it('names units with what is wrong, in the units of its reader, and says how many it leaves out', () => {
    const message = digestMessage(
      content({ byUrgency: [3, 1, 0, 0, 0], today: [problems('roof', 2)], thisWeek: [problems('cellar')] }),
      { ...reader, measures: 'inch-pound' },
    );
    expect(message.opening).toBe('3 units need a look today, 1 this week, 0 at the next visit.');
    expect(message.parts[0]).toEqual({
      heading: 'Today',
      lines: [
        {
          text: 'Hall, roof: The loop is tuned too hard. Superheat swings by 9.0 °F. And 1 more problem.',
          path: '/units/hall/roof',
        },
        { text: 'and 2 more units', path: '/' },
      ],
    });
    expect(message.parts[1].lines).toHaveLength(1);
  });

  it('says what has changed since the last one, and that nothing has', () => {
    const of = (changes: DigestContent['changes']) => digestMessage(content({ changes }), reader).parts[0];
    expect(of([{ kind: 'new', count: 0, units: [] }]).lines).toEqual([{ text: 'Nothing has changed.' }]);
    expect(
      of([
        { kind: 'new', count: 3, units: [unit('roof'), unit('cellar')] },
        { kind: 'worse', count: 0, units: [] },
        { kind: 'gone', count: 1, units: [unit('annex')] },
      ]).lines.map(({ text }) => text),
    ).toEqual([
      'New on the round: Hall, roof; Hall, cellar; and 1 more unit',
      'No longer on the round: Hall, annex',
    ]);
  });

  it('begins with what is handed over, and says what is overdue', () => {
    const handed = {
      unit: unit('roof'),
      headline: { text: 'It hunts.', quantities: {} },
      due: new Date('2026-03-06T22:59:59Z'),
      overdue: true,
    };
    expect(digestMessage(content({ handed: [handed] }), reader).parts[0].lines[0].text).toBe(
      'Hall, roof: It hunts. Due Fri 6 Mar, overdue.',
    );
  });
});

describe('an alert', () => {
  it('is one message for all units that came up together', () => {
    expect(alertMessage([problems('roof')], reader)).toMatchObject({ subject: 'Today: Hall, roof' });
    const many = alertMessage(
      Array.from({ length: 25 }, (_, n) => problems(`unit-${n}`)),
      reader,
    );
    expect(many.subject).toBe('Today: 25 units need a look');
    expect(many.parts[0].lines).toHaveLength(21);
    expect(many.parts[0].lines.at(-1)!.text).toBe('and 5 more units');
  });
});
