import { describe, expect, it } from 'vitest';
import type { Standing } from '../../api/decisions/decisions.js';
import { standingBriefly, standingWords } from './standing-words.js';

const standing = (given: Partial<Standing>): Standing => ({
  finding: '1',
  version: 1,
  kind: 'open',
  back: null,
  overdue: false,
  deferred: false,
  outcome: null,
  by: { id: 1, name: 'Ines Calder' },
  at: '2026-03-02T10:00:00.000Z',
  assignee: null,
  due: null,
  reason: null,
  seen: null,
  headline: { text: 'Superheat swings.', quantities: {} },
  subject: { kind: 'circuit', circuit: 1 },
  endedAt: null,
  ...given,
});

describe('where a finding stands, in words', () => {
  it('names who has it and by when', () => {
    const handed = standing({
      kind: 'handed-over',
      assignee: { id: 2, name: 'Tomas Weir' },
      due: '2026-03-05',
    });
    expect(standingWords(handed)).toBe('With Tomas Weir, due 5 Mar 2026.');
    expect(standingWords({ ...handed, overdue: true })).toBe('With Tomas Weir, due 5 Mar 2026: overdue.');
    expect(standingBriefly(handed)).toBe('with Tomas Weir, due 5 Mar 2026');
  });

  it('says until when it waits and why, and why it is back', () => {
    const off = standing({ kind: 'put-off', due: '2026-03-05', reason: 'part ordered' });
    expect(standingWords(off)).toBe('Put off until 5 Mar 2026 by Ines Calder. Reason: part ordered.');
    expect(standingWords({ ...off, due: null })).toMatch(/^Put off until it becomes more urgent/);
    expect(standingWords({ ...off, back: 'date' })).toMatch(
      /^Back on its day: it was put off by Ines Calder/,
    );
    expect(standingWords({ ...off, back: 'urgency' })).toMatch(/^Back, because it has become more urgent/);
  });

  it('says what became of it after a visit', () => {
    const closed = (outcome: Standing['outcome']) => standingWords(standing({ kind: 'closed', outcome }));
    expect(closed({ kind: 'watching' })).toMatch(/too early to tell/);
    expect(closed({ kind: 'gone', since_s: 0 })).toMatch(/gone since/);
    expect(closed({ kind: 'unchanged', since_s: 0 })).toMatch(/unchanged/);
    expect(closed({ kind: 'came-back', after_s: 9 * 86_400 })).toMatch(/came back after 9 days/);
  });
});
