// @vitest-environment jsdom
import { beforeEach, describe, expect, it } from 'vitest';
import { lastLook } from './last-look.js';

const minute_ms = 60_000;
const now_ms = 1_770_000_000_000;

describe('the last look', () => {
  beforeEach(() => localStorage.clear());

  it('is none at first', () => {
    expect(lastLook(now_ms)).toBeNull();
    expect(lastLook(now_ms + minute_ms)).toBeNull();
  });
  it('is when the reader was last here, for as long as this look goes on', () => {
    lastLook(now_ms);
    lastLook(now_ms + 20 * minute_ms);
    const next = now_ms + 600 * minute_ms;
    expect(lastLook(next)).toBe(now_ms + 20 * minute_ms);
    expect(lastLook(next + 25 * minute_ms)).toBe(now_ms + 20 * minute_ms);
    expect(lastLook(next + 50 * minute_ms)).toBe(now_ms + 20 * minute_ms);
  });
  it('does not trip over what it cannot read', () => {
    localStorage.setItem('coldrounds.looked', '{"last":"yesterday"');
    expect(lastLook(now_ms)).toBeNull();
  });
});
