import { describe, expect, it } from 'vitest';
import type { Finding } from '../../api/types.js';
import type { Problem } from '../../components/problem/problems.js';
import { briefContent } from './brief-content.js';

const say = (text: string) => ({ text, quantities: {} });
const finding = (id: string, visit: string[] = [], reasons: string[] = []): Finding => ({
  id,
  condition: id,
  subject: { kind: 'unit' },
  headline: say(id),
  reasons: reasons.map(say),
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

/** A finding that no cause explains. */
const alone = (lead: Finding): Problem => ({
  key: lead.id,
  diagnosis: null,
  unexplained: false,
  headline: lead.headline,
  subject: lead.subject,
  urgency: 'watch',
  certainty: 'likely',
  waiting: lead.waiting,
  since_s: 0,
  lead,
  symptoms: [],
  consequences: [],
  check: null,
  causes: [],
  cautions: [],
});

/** A cause with what shows it. */
const caused = (change: Partial<Problem>): Problem => ({
  ...alone(finding('departs')),
  diagnosis: { id: '1' } as Problem['diagnosis'],
  headline: say('The condenser is fouled.'),
  causes: [
    { cause: 'fouled', weight: 0.7 },
    { cause: 'gas', weight: 0.2 },
    { cause: 'flow', weight: 0.06 },
    { cause: 'sensor', weight: 0.03 },
  ],
  ...change,
});
const text = (statements: readonly { text: string }[]) => statements.map((each) => each.text);

describe('the visit brief', () => {
  it('asks for each thing once, in the order of the problems and of what shows them', () => {
    const content = briefContent([
      caused({ lead: finding('a', ['gauge', 'cable']), symptoms: [finding('b', ['brush'])] }),
      alone(finding('c', ['cable', 'motor'])),
    ]);
    expect(text(content.bring)).toEqual(['gauge', 'cable', 'brush', 'motor']);
  });
  it('leaves no problem out unsaid', () => {
    const all = Array.from({ length: 9 }, (_, index) => alone(finding(String(index))));
    const content = briefContent(all);
    expect(content.full).toHaveLength(2);
    expect(content.lines).toHaveLength(3);
    expect(content.full.length + content.lines.length + content.left).toBe(9);
  });
  it('tells less of problems with long sentences, so that they fit one side, and never leaves out the check', () => {
    const long = 'Condensing lies 3.1 K higher than it did before under the same conditions. '.repeat(4);
    const all = Array.from({ length: 6 }, (_, index) => ({
      ...caused({ symptoms: [finding(`${long}${index}`), finding(`${index}${long}`)] }),
      lead: finding(String(index), [`${long}${index}`, `${index}${long}`]),
      check: say(long),
    }));
    const content = briefContent(all);
    expect(content.full).toHaveLength(1);
    expect(content.full[0].problem.check).toEqual(say(long));
    expect(content.full.length + content.lines.length + content.left).toBe(6);
  });
  it('tells a cause with what shows it beneath, what follows from it, and its rivals without itself', () => {
    const [told] = briefContent([
      caused({
        lead: finding('departs', [], ['By 3 K.', 'For two days.']),
        symptoms: [finding('condenses higher')],
        consequences: [finding('floods back'), finding('wears')],
      }),
    ]).full;
    expect(text(told.seen)).toEqual(['departs', 'condenses higher', 'By 3 K.']);
    expect(text(told.follows)).toEqual(['floods back']);
    expect(told.rivals.map(({ cause }) => cause)).toEqual(['gas', 'flow']);
  });
  it('tells a finding that no cause explains with its reasons, and never repeats its headline', () => {
    const [told] = briefContent([alone(finding('flickers', [], ['one', 'two', 'three', 'four']))]).full;
    expect(text(told.seen)).toEqual(['one', 'two', 'three']);
  });
});
