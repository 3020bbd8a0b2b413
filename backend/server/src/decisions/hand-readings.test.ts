import { emptyCircuitSeries, type CircuitEntry } from '@coldrounds/core';
import { describe, expect, it } from 'vitest';
import { compareReading } from './hand-readings.js';

const sensor = (tolerance: number) => ({ minimum: 0, maximum: 1e7, tolerance });
const entry = {
  number: 1,
  suctionPressure: { ...sensor(10_000), reference: 'absolute' },
  suctionTemperature: sensor(0.3),
} as unknown as CircuitEntry;

/** A sample every 10 s for five minutes on each side. */
function series(pressure_Pa: (n: number) => number, temperature_K: (n: number) => number) {
  const made = emptyCircuitSeries(61);
  for (let n = 0; n <= 60; n++) {
    made.time_s[n] = 10 * n;
    made.suctionPressure_Pa[n] = pressure_Pa(n);
    made.suctionTemperature_K[n] = temperature_K(n);
  }
  return made;
}

const at_s = 300;
const temperature = (value: number) => ({
  circuit: 1,
  quantity: 'suction-temperature' as const,
  value,
  at_s,
});

describe('a reading taken by hand', () => {
  const steady = series(
    () => 400_000,
    () => 285,
  );

  it('is put beside the samples of its minute alone', () => {
    const jumped = series(
      () => 400_000,
      (n) => (Math.abs(10 * n - at_s) <= 60 ? 285 : 300),
    );
    expect(compareReading(temperature(285), jumped, entry)).toMatchObject({ telemetry: 285, samples: 13 });
  });

  it('refutes a sensor when the difference exceeds twice its standard uncertainty', () => {
    // COMPUTED by hand after JCGM 100:2008, 4.3.7 and 5.1.2: 2 sqrt((0.3^2 + 0.5^2) / 3) = 0.673 K.
    const right = compareReading(temperature(284.4), steady, entry);
    expect(right.uncertainty).toBeCloseTo(0.673, 3);
    expect(right).toMatchObject({ verdict: 'agrees' });
    expect(right.difference).toBeCloseTo(0.6, 9);
    expect(compareReading(temperature(284.3), steady, entry).verdict).toBe('differs');
  });

  it('counts how much the minute itself swings', () => {
    const swinging = series(
      () => 400_000,
      (n) => 285 + (n % 2 === 0 ? 2 : -2),
    );
    expect(compareReading(temperature(284), swinging, entry).verdict).toBe('agrees');
  });

  it('says so where there is no telemetry of that minute', () => {
    expect(compareReading({ ...temperature(285), at_s: 5000 }, steady, entry)).toMatchObject({
      ...{ telemetry: null, verdict: 'no-telemetry', uncertainty: null },
    });
    expect(
      compareReading({ circuit: 1, quantity: 'liquid-temperature', value: 300, at_s }, steady, entry).verdict,
    ).toBe('no-telemetry');
  });
});
