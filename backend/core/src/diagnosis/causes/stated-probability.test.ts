import { describe, expect, it } from 'vitest';
import { asStated } from './stated-probability.js';

describe('the probability that is said of a cause', () => {
  // 5 % is judgement, checked by the score on units that it was not chosen by.
  it('leaves a twentieth to what is as none of the patterns has it', () => {
    const said = asStated([
      { cause: 'gas-in-circuit', weight: 0.98, severity: 1 },
      {
        ...{ cause: 'sensor-wrong', weight: 0.02, severity: 1, channel: 'dischargePressure_Pa' },
        channels: { dischargePressure_Pa: 0.02 },
      },
      { cause: 'something-else', weight: 0, severity: 1 },
    ]);
    expect(said.map(({ cause }) => cause)).toEqual(['gas-in-circuit', 'something-else', 'sensor-wrong']);
    [0.931, 0.05, 0.019].forEach((weight, k) => expect(said[k]!.weight).toBeCloseTo(weight, 12));
    expect(said[2]!.channels!.dischargePressure_Pa).toBeCloseTo(0.019, 12);
  });

  it('is as likely as before in all', () => {
    const said = asStated([
      { cause: 'something-else', weight: 0.7, severity: 1 },
      { cause: 'condenser-fouled', weight: 0.3, severity: 1 },
    ]);
    expect(said[0]).toMatchObject({ cause: 'something-else' });
    expect(said[0]!.weight + said[1]!.weight).toBeCloseTo(1, 12);
    expect(asStated([])).toEqual([]);
  });
});
