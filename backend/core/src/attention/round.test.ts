import { describe, expect, it } from 'vitest';
import { statement } from '../diagnosis/statement.js';
import type { Finding, Urgency } from '../diagnosis/finding.js';
import { attentionLoad, isChattering } from './attention-load.js';
import { rankRound, type RoundUnit } from './round.js';

const finding = (urgency: Urgency, score: number, circuit = 1, condition = 'hunting'): Finding => ({
  condition,
  subject: { kind: 'circuit', circuit },
  headline: statement('Superheat hunts.'),
  reasons: [],
  explanations: [],
  separatingCheck: null,
  certainty: 'likely',
  urgency,
  waiting: { score, sentence: statement('Waiting costs.') },
  visit: [],
  hazards: [],
  firstSeen_s: 0,
  lastSeen_s: 0,
});

describe('the round', () => {
  const units: RoundUnit[] = [
    { key: 'c', findings: [finding('next-visit', 90)] },
    { key: 'b', findings: [finding('this-week', 20), finding('watch', 99, 2)] },
    { key: 'a', findings: [finding('this-week', 20)] },
    { key: 'd', findings: [finding('today', 5)] },
    { key: 'e', findings: [finding('watch', 50)] },
    { key: 'f', findings: [] },
    { key: 'g', findings: [finding('this-week', 15), finding('next-visit', 10, 2)] },
  ];

  it('goes by urgency, then by what waiting costs, with one row per unit', () => {
    const round = rankRound(units, 0);
    expect(round.rows.map(({ key }) => key)).toEqual(['d', 'g', 'b', 'a', 'c']);
    expect(round.rows.map(({ rank }) => rank)).toEqual([1, 2, 3, 4, 5]);
    expect(round.rows[1]!.waiting).toBe(25);
    expect(round.watching.map(({ key }) => key)).toEqual(['e']);
    expect(round.quietUnits).toBe(1);
  });

  it('does not depend on the order in which units and findings come', () => {
    const turned = [...units].reverse().map((unit) => ({ ...unit, findings: [...unit.findings].reverse() }));
    expect(rankRound(turned, 0)).toEqual(rankRound(units, 0));
  });

  it('counts findings of one circuit once, at their highest', () => {
    const both = [finding('this-week', 30), finding('this-week', 20, 1, 'starved')];
    expect(rankRound([{ key: 'a', findings: both }], 0).rows[0]!.waiting).toBe(30);
  });

  it('leaves out what is set aside until its time is up', () => {
    const shelved = [
      { subjectKey: 'circuit/1', condition: 'hunting', until_s: 100, by: 'someone', reason: 'part ordered' },
    ];
    const unit = { key: 'a', findings: [finding('today', 50)], shelved };
    const before = rankRound([unit], 99);
    expect(before.rows).toEqual([]);
    expect(before.shelvedFindings).toBe(1);
    expect(rankRound([unit], 100).rows).toHaveLength(1);
  });
});

describe('attention, by limits recalled from ISA-18.2 and EEMUA 191 (MEMORY)', () => {
  it('is bearable at 144 items a day and not at 151 (one in ten minutes and 150 a day at most)', () => {
    const spread = (items: number) => Array.from({ length: items }, (_, i) => (i * 86_400) / items);
    expect(attentionLoad(spread(144), { from_s: 0, to_s: 86_400 }).bearable).toBe(true);
    expect(attentionLoad(spread(151), { from_s: 0, to_s: 86_400 }).bearable).toBe(false);
    expect(attentionLoad(spread(151), { from_s: 0, to_s: 86_400 }, 2).bearable).toBe(true);
  });

  it('calls three openings within a minute chattering', () => {
    expect(isChattering([0, 30, 60])).toBe(true);
    expect(isChattering([0, 30, 61, 92])).toBe(false);
  });
});
