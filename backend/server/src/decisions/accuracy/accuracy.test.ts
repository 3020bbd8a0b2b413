import type { Cause, Certainty } from '@coldrounds/core';
import { describe, expect, it } from 'vitest';
import { accuracyByCause, accuracyOf, type VisitedClaim } from './accuracy.js';

const claim = (
  said: Cause,
  seen: Cause | 'nothing' | 'other',
  certainty: Certainty = 'likely',
): VisitedClaim => ({
  ...{ said, certainty },
  seen:
    seen === 'nothing'
      ? { kind: 'nothing' }
      : seen === 'other'
        ? { kind: 'other', words: 'a loose wire' }
        : { kind: 'cause', cause: seen },
});

describe('how often it was right', () => {
  it('counts visits that confirmed the cause, found another, or nothing', () => {
    const claims = [
      ...Array.from({ length: 7 }, () => claim('condenser-fouled', 'condenser-fouled')),
      claim('condenser-fouled', 'gas-in-circuit'),
      claim('condenser-fouled', 'nothing'),
    ];
    const counted = accuracyOf(claims);
    expect(counted).toMatchObject({ visits: 9, confirmed: 7, otherCause: 1, nothingFound: 1 });
    // COMPUTED: scipy 1.17.1, stats.beta.ppf of Beta(7.5, 2.5).
    expect(counted.interval.low).toBeCloseTo(0.4562, 4);
    expect(counted.interval.high).toBeCloseTo(0.9507, 4);
  });

  it('counts a cause told in words as another', () => {
    expect(accuracyOf([claim('valve-friction', 'other')])).toMatchObject({ confirmed: 0, otherCause: 1 });
  });

  it('keeps causes and certainties apart, the most visited first', () => {
    const rows = accuracyByCause([
      claim('valve-friction', 'valve-friction', 'certain'),
      claim('load-swings', 'load-swings'),
      claim('load-swings', 'nothing'),
      claim('valve-friction', 'nothing', 'possible'),
    ]);
    expect(
      rows.map(({ cause, certainty, visits, confirmed }) => [cause, certainty, visits, confirmed]),
    ).toEqual([
      ['load-swings', 'likely', 2, 1],
      ['valve-friction', 'certain', 1, 1],
      ['valve-friction', 'possible', 1, 0],
    ]);
  });
});
