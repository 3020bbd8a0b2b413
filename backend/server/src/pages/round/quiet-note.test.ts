import { describe, expect, it } from 'vitest';
import { quietNote } from './quiet-note.js';

describe('the note on a quiet unit', () => {
  const asOf_s = Date.parse('2026-03-02T10:00:00Z') / 1000;

  it('reports nothing found only for a unit that still sends', () => {
    expect(quietNote('2026-03-02T09:59:50Z', asOf_s)).toMatch(/^Nothing found/);
    expect(quietNote('2026-03-02T00:00:00Z', asOf_s)).toMatch(/stopped sending/);
    expect(quietNote(null, asOf_s)).toMatch(/cannot be judged/);
  });
});
