import { describe, expect, it } from 'vitest';
import { changed, readRoundSearch } from './round-search.js';

describe('the address of the round', () => {
  it('names an order, a group and where the list begins, and forgets what it does not know', () => {
    expect(readRoundSearch({ sort: 'age', group: 'site', from: 'abc' })).toMatchObject({
      sort: 'age',
      group: 'site',
      from: 'abc',
    });
    const unknown = readRoundSearch({ sort: 'colour', group: 7, from: '' });
    expect([unknown.sort, unknown.group, unknown.from]).toEqual([undefined, undefined, undefined]);
  });

  it('begins at the first unit again when anything else is asked for', () => {
    expect(changed({ from: 'abc', q: 'roof' }, { site: 'harbour' })).toMatchObject({
      site: 'harbour',
      q: 'roof',
      from: undefined,
    });
    expect(changed({ from: 'abc', sort: 'age' }, { from: 'def' })).toMatchObject({
      from: 'def',
      sort: 'age',
    });
  });

  it('has either groups of urgency or another order, whichever was asked for last', () => {
    expect(changed({ group: 'urgency' }, { sort: 'age' })).toMatchObject({ sort: 'age', group: undefined });
    expect(changed({ sort: 'age' }, { group: 'urgency' })).toMatchObject({
      sort: undefined,
      group: 'urgency',
    });
    expect(changed({ group: 'site' }, { sort: 'age' })).toMatchObject({ sort: 'age', group: 'site' });
  });
});
