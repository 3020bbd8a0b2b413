import { describe, expect, it } from 'vitest';
import { signalFaults } from './signal-health.js';

const sensor = { minimum: 223.15, maximum: 373.15, tolerance: 0.5 };
const hour_s = 3600;

/** A sensor read every 10 s over the given spans, on a circuit that always runs. */
function faults(
  spans: readonly (readonly [from_s: number, to_s: number])[],
  value: (t: number) => number,
  companion: (t: number) => number = (t) => 276.15 + 2 * Math.sin(t / 5000),
  step_K = 0.1,
) {
  const time_s = Float64Array.from(
    spans.flatMap(([from, to]) => Array.from({ length: (to - from) / 10 }, (_, i) => from + i * 10)),
  );
  return signalFaults({
    time_s,
    values: time_s.map(value),
    changes: [],
    flags: new Uint8Array(time_s.length).fill(1),
    standing: [],
    sensor,
    leastJump: 2,
    companion: { temperature_K: time_s.map(companion), step_K },
  });
}
/** Five values in turn, half a kelvin apart: alive, and never above 296.15 K. */
const alive = (t: number) => 295.15 + 0.5 * ((t / 10) % 5) - 1;

describe('a value that does not change', () => {
  it('for seven hours of running is frozen', () => {
    const [fault] = faults([[0, 7 * hour_s]], () => 295.15);
    expect(fault).toMatchObject({ kind: 'value-frozen', value: 295.15, from_s: 0, to_s: 7 * hour_s - 10 });
  });

  it('is not frozen where what moves along with it stands too, or moves by less than six of its steps', () => {
    expect(
      faults(
        [[0, 7 * hour_s]],
        () => 295.15,
        () => 276.15,
      ),
    ).toEqual([]);
    expect(faults([[0, 7 * hour_s]], () => 295.15, undefined, 1)).toEqual([]);
  });

  it('is not frozen for having been held for hours that are over', () => {
    const held = (t: number) => (t > 7 * hour_s && t < 13.5 * hour_s ? 295.15 : alive(t));
    expect(faults([[0, 24 * hour_s]], held)).toEqual([]);
  });

  it('is not frozen for being the same after a day of silence as before it', () => {
    const spans = [
      [0, hour_s],
      [24 * hour_s, 25 * hour_s],
    ] as const;
    // The last value before the silence and the first one after it are alike.
    expect(faults(spans, (t) => (t === hour_s - 10 || t === 24 * hour_s ? 294.05 : alive(t)))).toEqual([]);
  });

  it('is frozen on each side of a silence by itself', () => {
    const spans = [
      [0, 5 * hour_s],
      [6 * hour_s, 13 * hour_s],
    ] as const;
    const [fault] = faults(spans, () => 295.15);
    expect(fault).toMatchObject({ kind: 'value-frozen', from_s: 6 * hour_s, to_s: 13 * hour_s - 10 });
  });
});

describe('a value that does not get past a limit', () => {
  const limit = 297.15;
  const clipped = (t: number) => (t % 7200 < 1200 ? limit : alive(t));

  it('is clipped where it stands there again and again', () => {
    expect(faults([[0, 8 * hour_s]], clipped)[0]).toMatchObject({ kind: 'value-clipped', value: limit });
  });

  it('is not clipped for having stood there before and after a silence', () => {
    const spans = [
      [0, hour_s],
      [5 * hour_s, 6 * hour_s],
    ] as const;
    expect(faults(spans, (t) => (t === hour_s - 10 || t === 5 * hour_s ? limit : alive(t)))).toEqual([]);
  });
});
