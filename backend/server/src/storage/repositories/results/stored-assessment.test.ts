import { statement } from '@coldrounds/core';
import { describe, expect, it } from 'vitest';
import { withPresentNames, type StoredAssessment } from './stored-assessment.js';

const sentences = [statement('Based on the tests of three years.')];
const stored = (reserve: object, forecast: object) => ({ reserve, forecast }) as StoredAssessment;

describe('a stored assessment of a module', () => {
  it('of an earlier version is read with its sentences under the present name', () => {
    expect(
      withPresentNames(
        stored(
          { state: 'known', standsOn: sentences, closings: 9 },
          { state: 'forecast', standsOn: [], limits: [] },
        ),
      ),
    ).toEqual({
      reserve: { state: 'known', basedOn: sentences, closings: 9 },
      forecast: { state: 'forecast', basedOn: [], limits: [] },
    });
  });

  it('of this version is read as it is', () => {
    const present = stored(
      { state: 'known', basedOn: sentences },
      { state: 'unknown', reason: sentences[0] },
    );
    expect(withPresentNames(present)).toEqual(present);
  });
});
