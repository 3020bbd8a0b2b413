import { describe, expect, it } from 'vitest';
import type { PortfolioRow } from '../../../api/types.js';
import { readRoundSearch } from '../round-search.js';
import { groupSize } from './place-groups.js';

const row = {
  units: 12,
  byUrgency: { today: 1, thisWeek: 2, nextVisit: 3, watch: 4, quiet: 2 },
} as PortfolioRow;

describe('a group of the round', () => {
  it('holds the units with findings, of the urgency asked for', () => {
    expect(groupSize(row, undefined)).toBe(10);
    expect(groupSize(row, 'today')).toBe(1);
    expect(groupSize(row, 'watch')).toBe(4);
  });
  it('stands in the address, and nothing else does', () => {
    expect(readRoundSearch({ group: 'region', region: 'North' })).toMatchObject({
      group: 'region',
      region: 'North',
    });
    expect(readRoundSearch({ group: 'colour' }).group).toBeUndefined();
  });
});
