import type { Urgency } from '@coldrounds/core';
import { describe, expect, it } from 'vitest';
import { diagnosesAsPlanned, findingsAsPlanned } from './deferral.js';

const deferred = new Map<string, Urgency>([['1', 'this-week']]);

describe('on the round', () => {
  it('a finding that can wait is only watched, others stay as they are', () => {
    const findings = [
      { id: '1', urgency: 'this-week' as const },
      { id: '2', urgency: 'today' as const },
    ];
    expect(findingsAsPlanned(findings, deferred).map(({ urgency }) => urgency)).toEqual(['watch', 'today']);
  });

  it('a diagnosis waits with its symptom, unless it has become more urgent than that was', () => {
    const diagnosis = (urgency: Urgency, symptoms: string[]) =>
      diagnosesAsPlanned([{ urgency, symptoms }], deferred)[0].urgency;
    expect(diagnosis('this-week', ['1', '3'])).toBe('watch');
    expect(diagnosis('today', ['1', '3'])).toBe('today');
    expect(diagnosis('this-week', ['3'])).toBe('this-week');
  });
});
