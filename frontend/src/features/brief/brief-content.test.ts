import { describe, expect, it } from 'vitest';
import type { Finding } from '../../api/types.js';
import { briefContent, toldInALine, toldInFull } from './brief-content.js';

const say = (text: string) => ({ text, quantities: {} });
const finding = (id: string, visit: string[]): Finding => ({
  id,
  condition: id,
  subject: { kind: 'unit' },
  headline: say(id),
  reasons: [],
  explanations: [],
  separatingCheck: null,
  certainty: 'likely',
  urgency: 'watch',
  waiting: { score: 0, sentence: say('') },
  visit: visit.map(say),
  hazards: [],
  firstSeen_s: 0,
  lastSeen_s: 0,
  openedAt: '',
  updatedAt: '',
  endedAt: null,
});

describe('the visit brief', () => {
  it('asks for each thing once, in the order of the findings', () => {
    const content = briefContent([finding('a', ['gauge', 'cable']), finding('b', ['cable', 'motor'])]);
    expect(content.bring.map((entry) => entry.text)).toEqual(['gauge', 'cable', 'motor']);
  });
  it('leaves no finding out unsaid', () => {
    const all = Array.from({ length: 9 }, (_, index) => finding(String(index), []));
    const content = briefContent(all);
    expect(content.full).toHaveLength(toldInFull);
    expect(content.lines).toHaveLength(toldInALine);
    expect(content.full.length + content.lines.length + content.left).toBe(9);
  });
});
