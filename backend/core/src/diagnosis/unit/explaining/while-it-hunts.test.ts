import { describe, expect, it } from 'vitest';
import type { Certainty, Finding } from '../../finding.js';
import { fewestCauses, type Symptom } from './fewest-causes.js';
import type { Suspect } from './symptom-causes.js';
import { weighedWhileItHunts } from './while-it-hunts.js';

const symptom = (condition: string, certainty: Certainty, suspects: Suspect[]): Symptom => ({
  finding: { condition, certainty, explanations: [] } as unknown as Finding,
  suspects,
});
const hunting = (certainty: Certainty = 'certain') =>
  symptom('hunting', certainty, [{ cause: 'loop-tuned-too-hard', weight: 0.97 }]);
const departs = (...suspects: Suspect[]) => symptom('departs-from-normal', 'certain', suspects);
const fouledEvaporator = departs(
  { cause: 'evaporator-fouled', weight: 0.92 },
  { cause: 'something-else', weight: 0.05 },
);
const named = (...symptoms: Symptom[]) =>
  fewestCauses(weighedWhileItHunts(symptoms)).map(({ cause }) => cause);

describe('a departure while superheat swings', () => {
  it('is beneath the cause of the swing where it looks like a fouled evaporator', () => {
    const [only, ...others] = fewestCauses(weighedWhileItHunts([hunting(), fouledEvaporator]));
    expect(others).toEqual([]);
    expect(only).toMatchObject({ cause: 'loop-tuned-too-hard' });
    expect(only!.symptoms.map(({ condition }) => condition)).toContain('departs-from-normal');
    // It tells nothing of why superheat swings.
    expect(only!.weight).toBeCloseTo(0.97, 2);
  });

  it('is beneath it as well where two circuits make the swing together', () => {
    const together = symptom('hunting', 'certain', [{ cause: 'circuits-disturb-each-other', weight: 0.9 }]);
    expect(named(together, fouledEvaporator)).toEqual(['circuits-disturb-each-other']);
    // Water that swings moves the evaporator's load itself.
    const water = symptom('hunting', 'certain', [{ cause: 'load-swings', weight: 0.9 }]);
    expect(named(water, fouledEvaporator)).toContain('evaporator-fouled');
  });

  it('is a fouled evaporator where nothing swings for certain', () => {
    expect(named(fouledEvaporator)).toEqual(['evaporator-fouled']);
    expect(named(hunting('possible'), fouledEvaporator)).toContain('evaporator-fouled');
  });

  it('is what it was where it is no evaporator', () => {
    const condenser = departs({ cause: 'condenser-fouled', weight: 0.9 });
    expect(named(hunting(), condenser)).toEqual(['loop-tuned-too-hard', 'condenser-fouled']);
    const both = departs(
      { cause: 'condenser-fouled', weight: 0.9 },
      { cause: 'evaporator-fouled', weight: 0.8 },
    );
    expect(named(hunting(), both)).toEqual(['loop-tuned-too-hard', 'condenser-fouled']);
  });
});
