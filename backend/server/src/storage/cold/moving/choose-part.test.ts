import { describe, expect, it } from 'vitest';
import { choosePart, monthRows } from './choose-part.js';

const each = (rows: number, ...ids: number[]) => ids.map((ownerId) => ({ ownerId, monthRows: rows }));

describe('the parts of a site’s month', () => {
  it('are filled one after the other, each to the number of rows', () => {
    expect(choosePart([], each(4, 1, 2, 3), 10)).toEqual({ number: 1, ownerIds: [1, 2] });
    const first = { number: 1, owners: each(4, 1, 2) };
    expect(choosePart([first], each(4, 3), 10)).toEqual({ number: 2, ownerIds: [3] });
    expect(choosePart([first], each(2, 3), 10)).toEqual({ number: 1, ownerIds: [3] });
  });

  it('keep their owners, whichever come with them and however much they grow', () => {
    const files = [
      { number: 2, owners: each(9, 3) },
      { number: 1, owners: each(40, 1, 2) },
    ];
    expect(choosePart(files, each(40, 1, 2, 3, 4), 10)).toEqual({ number: 1, ownerIds: [1, 2] });
    expect(choosePart(files, each(40, 2), 10)).toEqual({ number: 1, ownerIds: [2] });
    expect(choosePart(files, each(1, 3, 4, 5), 10)).toEqual({ number: 2, ownerIds: [3, 4] });
    expect(choosePart(files, each(9, 3, 4), 10)).toEqual({ number: 2, ownerIds: [3] });
    expect(choosePart(files, each(9, 4, 5), 10)).toEqual({ number: 3, ownerIds: [4] });
  });

  it('take one owner who alone has more rows than that', () => {
    expect(choosePart([], each(50, 7, 8), 10)).toEqual({ number: 1, ownerIds: [7] });
    expect(choosePart([{ number: 1, owners: each(50, 7) }], each(50, 8), 10)).toEqual({
      number: 2,
      ownerIds: [8],
    });
  });

  it('place every owner, once, whatever comes in which order', () => {
    const waiting = new Set(Array.from({ length: 40 }, (_, id) => id));
    const files = new Map<number, ReturnType<typeof each>>();
    for (let moves = 0; waiting.size > 0; moves++) {
      expect(moves).toBeLessThan(40);
      const owners = [...waiting].map((ownerId) => ({ ownerId, monthRows: 1 + (ownerId % 7) }));
      const known = [...files].map(([number, own]) => ({ number, owners: own }));
      const { number, ownerIds } = choosePart(known, owners, 20);
      expect(ownerIds.every((id) => waiting.delete(id))).toBe(true);
      const added = owners.filter(({ ownerId }) => ownerIds.includes(ownerId));
      files.set(number, [...(files.get(number) ?? []), ...added]);
    }
    for (const own of files.values())
      expect(own.reduce((all, { monthRows: rows }) => all + rows, 0)).toBeLessThanOrEqual(20);
  });

  it('expect of a week what a whole month has', () => {
    expect(monthRows(700, 7)).toBe(3100);
    expect(monthRows(700, 0.2)).toBe(21_700);
    expect(monthRows(700, 40)).toBe(700);
  });
});
