import { describe, expect, it } from 'vitest';
import type { WindowRow } from '../../../api/types.js';
import { firstWindow, isLow, lookOf, placeWindows } from './week-strip.js';

const row = (values: Partial<WindowRow>): WindowRow => ({
  start_s: 0,
  end_s: 7200,
  judgedAt: '',
  samples: 720,
  steadyMinutes: 100,
  minutes: {} as WindowRow['minutes'],
  superheatMean_K: 6,
  superheatSpread_K: 1,
  floodbackFraction: 0,
  oscillating: false,
  hunts: false,
  period_s: null,
  amplitude_K: null,
  valveTravel_strokes: 1,
  valveReversals: 10,
  ...values,
});

describe('a window at a glance', () => {
  it('is steady, hunting, undecided or not running', () => {
    expect(lookOf(row({}))).toBe('steady');
    expect(lookOf(row({ hunts: true }))).toBe('hunting');
    expect(lookOf(row({ hunts: null }))).toBe('undecided');
    expect(lookOf(row({ hunts: null, steadyMinutes: 0 }))).toBe('not-running');
  });
  it('is low only where the share under the limit is known', () => {
    expect(isLow(row({ floodbackFraction: 0.1 }))).toBe(true);
    expect(isLow(row({ floodbackFraction: null }))).toBe(false);
  });
});

describe('the calendar strip', () => {
  it('puts a day beside the next and two hours under the two before', () => {
    const noon = Date.UTC(2026, 5, 1, 12) / 1000;
    const { cells, days } = placeWindows(
      [row({ start_s: noon }), row({ start_s: noon + 7200 }), row({ start_s: noon + 86_400 })],
      'UTC',
    );
    expect(cells.map(({ day, part }) => [day, part])).toEqual([
      [0, 6],
      [0, 7],
      [1, 6],
    ]);
    expect(days).toHaveLength(2);
  });
  it('opens at the newest window that hunts', () => {
    const rows = [
      row({ start_s: 1, hunts: true }),
      row({ start_s: 2 }),
      row({ start_s: 3, steadyMinutes: 0 }),
    ];
    expect(firstWindow(rows)?.start_s).toBe(1);
    expect(firstWindow(rows.slice(1))?.start_s).toBe(2);
    expect(firstWindow([])).toBeNull();
  });
});
