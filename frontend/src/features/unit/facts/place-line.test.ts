import { describe, expect, it } from 'vitest';
import { rank } from './place-line.js';

describe('the place among its like', () => {
  const place = { others: 40, alikeIn: ['evaporator'] };
  const like = '40 circuits alike in evaporator';

  it('is told by those that lie lower', () => {
    expect(rank({ ...place, below: 0.3, equal: 0 }, 'circuits')).toBe(`higher than 30 % of ${like}`);
    expect(rank({ ...place, below: 1, equal: 0 }, 'circuits')).toBe(`higher than all of ${like}`);
    expect(rank({ ...place, below: 0, equal: 0 }, 'circuits')).toBe(`lower than all of ${like}`);
  });

  it('is not called higher than those with the same value', () => {
    expect(rank({ ...place, below: 0, equal: 0.6 }, 'circuits')).toBe(
      `higher than 0 %, the same as 60 % of ${like}`,
    );
    expect(rank({ others: 8, alikeIn: [], below: 0, equal: 1 }, 'modules')).toBe(
      'the same as all of 8 other modules',
    );
  });
});
