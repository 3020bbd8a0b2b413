import { describe, expect, it } from 'vitest';
import { statement } from '../diagnosis/statement.js';
import type { Finding, Urgency } from '../diagnosis/finding.js';
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
    const round = rankRound(units);
    expect(round.rows.map(({ key }) => key)).toEqual(['d', 'g', 'b', 'a', 'c']);
    expect(round.rows.map(({ rank }) => rank)).toEqual([1, 2, 3, 4, 5]);
    expect(round.rows[1]!.waiting).toBe(25);
    expect(round.watching.map(({ key }) => key)).toEqual(['e']);
  });

  it('does not depend on the order in which units and findings come', () => {
    const turned = [...units].reverse().map((unit) => ({ ...unit, findings: [...unit.findings].reverse() }));
    expect(rankRound(turned)).toEqual(rankRound(units));
  });

  it('counts findings of one circuit once, at their highest', () => {
    const both = [finding('this-week', 30), finding('this-week', 20, 1, 'starved')];
    expect(rankRound([{ key: 'a', findings: both }]).rows[0]!.waiting).toBe(30);
  });
});
