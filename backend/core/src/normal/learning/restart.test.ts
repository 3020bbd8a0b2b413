import { describe, expect, it } from 'vitest';
import { learnAnewFrom } from './restart.js';

describe('normal', () => {
  it('is learned anew after the latest change of refrigerant, valve or firmware, or visit that put something right', () => {
    expect(
      learnAnewFrom([
        { at_s: 300, kind: 'valve-changed' },
        { at_s: 100, kind: 'refrigerant-changed' },
        { at_s: 200, kind: 'visit', putRight: true },
      ]),
    ).toBe(300);
    expect(learnAnewFrom([{ at_s: 100, kind: 'firmware-changed' }])).toBe(100);
    expect(learnAnewFrom([{ at_s: 100, kind: 'visit', putRight: true }])).toBe(100);
  });

  it('stays as it is without one, and after a visit that found nothing', () => {
    expect(learnAnewFrom([])).toBeNull();
    expect(learnAnewFrom([{ at_s: 100, kind: 'visit' }])).toBeNull();
    expect(learnAnewFrom([{ at_s: 100, kind: 'visit', putRight: false }])).toBeNull();
  });
});
