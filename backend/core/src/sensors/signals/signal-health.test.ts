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

/** Ten hours of samples every 10 s: stands for the first five, then runs. */
const hours = 10;
const samples = (hours * hour_s) / 10;
function tenHours(value: (i: number) => number, changed: Partial<Parameters<typeof signalFaults>[0]> = {}) {
  return signalFaults({
    time_s: Float64Array.from({ length: samples }, (_, i) => 10 * i),
    values: Float64Array.from({ length: samples }, (_, i) => value(i)),
    changes: [5 * hour_s],
    flags: Uint8Array.from({ length: samples }, (_, i) => (i < samples / 2 ? 0 : 1)),
    standing: [{ from: 0, to: samples / 2 }],
    sensor,
    leastJump: 2,
    ...changed,
  });
}
/** Alive by +-0.02 K, never twice the same. */
const quiet = (i: number) => 295 + 0.02 * Math.sin(i * i);

describe('a value that stands through a start', () => {
  const heldFrom = (from: number, to: number) => (i: number) => (i >= from && i <= to ? 295.005 : quiet(i));
  const half = samples / 2;

  it('is frozen after an hour, a quarter of an hour of it to either side of the start', () => {
    expect(tenHours(heldFrom(half - 100, half + 260))).toMatchObject([
      { kind: 'value-frozen', measure: 3600 },
    ]);
    expect(tenHours(heldFrom(half - 100, half + 258))).toEqual([]);
    // 900 s before the start, and after it.
    expect(tenHours(heldFrom(half - 90, half + 300))).toEqual([]);
    expect(tenHours(heldFrom(half - 91, half + 300))).toHaveLength(1);
    expect(tenHours(heldFrom(half - 300, half + 90))).toEqual([]);
    expect(tenHours(heldFrom(half - 300, half + 91))).toHaveLength(1);
  });

  it('is not frozen for a quiet night: six hours count with an hour of running in them', () => {
    const night = (flags: (i: number) => number, to: number) =>
      tenHours(heldFrom(0, to), {
        changes: [],
        flags: Uint8Array.from({ length: samples }, (_, i) => flags(i)),
      }).map(({ kind }) => kind);
    expect(night(() => 1, 2160)).toEqual(['value-frozen']);
    expect(night(() => 1, 2158)).toEqual([]);
    expect(night(() => 0, 2160)).toEqual([]);
    expect(night((i) => (i < 370 ? 1 : 0), 2160)).toEqual(['value-frozen']);
    expect(night((i) => (i < 350 ? 1 : 0), 2160)).toEqual([]);
  });

  it('is the longest of several', () => {
    // Two starts, after one and after five hours, and a value that stands through each.
    const longest = (first: number, second: number) => {
      const value = (i: number) =>
        Math.abs(i - 360) <= first ? 295.001 : Math.abs(i - 1800) <= second ? 295.005 : quiet(i);
      return tenHours(value, { changes: [hour_s, 5 * hour_s] });
    };
    expect(longest(200, 300)).toMatchObject([{ value: 295.005, measure: 6000 }]);
    expect(longest(300, 200)).toMatchObject([{ value: 295.001, measure: 6000 }]);
  });
});

describe('a value that jumps', () => {
  const jumping = (times: number, size: number) => (i: number) =>
    quiet(i) + (i % 500 === 250 && i / 500 < times ? size : 0);

  it('stands off calm neighbours by more than what is worth a word, five times or more', () => {
    expect(tenHours(jumping(5, 3))).toMatchObject([
      { kind: 'value-jumping', measure: 5, from_s: 2500, to_s: 22_500 },
    ]);
    expect(tenHours(jumping(5, 3))[0]!.value).toBeCloseTo(3, 1);
    expect(tenHours(jumping(5, -3))).toHaveLength(1);
    expect(tenHours(jumping(4, 3))).toEqual([]);
    expect(tenHours(jumping(7, 1.9))).toEqual([]);
    expect(tenHours(jumping(7, 2.1))).toHaveLength(1);
  });

  it('is no step, nor a swing', () => {
    expect(tenHours((i) => quiet(i) + 3 * Math.floor(i / 500))).toEqual([]);
    expect(tenHours((i) => 295 + 5 * Math.sin(i / 2) + quiet(i) - 295, { standing: [] })).toEqual([]);
  });

  it('stands out of the scatter eightfold', () => {
    const noisy = (i: number) => 295 + 0.5 * Math.sin(i * i) + (i % 500 === 250 ? 2.5 : 0);
    expect(tenHours(noisy, { standing: [] })).toEqual([]);
  });
});

describe('a value that is noisy', () => {
  // Alternately up and down by a: second differences of 4 a, so a deviation of 1.4826 * 4 a / sqrt(6).
  const byTurns = (size: number) => (i: number) => 295 + (i % 2 ? size : -size) + 1e-4 * Math.sin(i * i);
  const deviation = (size: number) => (1.4826 * 4 * size) / Math.sqrt(6);

  it('scatters by more than half of its tolerance at standstill', () => {
    const limit = 0.25 / deviation(1);
    const [fault] = tenHours(byTurns(1.02 * limit));
    expect(fault).toMatchObject({ kind: 'value-noisy', from_s: 0, to_s: 5 * hour_s - 10 });
    expect(fault!.value / 0.25).toBeCloseTo(1.02, 3);
    expect(fault!.measure).toBeCloseTo(1.02, 3);
    expect(tenHours(byTurns(0.98 * limit))).toEqual([]);
  });

  it('is judged by 180 differences of standing, and not while running', () => {
    const standing = (n: number) => tenHours(byTurns(1), { standing: [{ from: 0, to: n }] }).length;
    expect([standing(182), standing(181)]).toEqual([1, 0]);
    expect(tenHours(byTurns(1), { standing: [] })).toEqual([]);
  });
});

describe('a value at the end of its span', () => {
  const atEnd = (end: number, length: number, i: number) => (i >= 100 && i <= 100 + length ? end : quiet(i));

  it('is clipped once it stands there for five minutes', () => {
    expect(tenHours((i) => atEnd(373.15, 30, i))).toMatchObject([{ kind: 'value-clipped', value: 373.15 }]);
    expect(tenHours((i) => atEnd(223.15, 30, i))).toMatchObject([{ kind: 'value-clipped', value: 223.15 }]);
    expect(tenHours((i) => atEnd(373.15, 29, i))).toEqual([]);
    // Within 0.2 % of the span of 150 K.
    expect(tenHours((i) => atEnd(372.86, 30, i))).toHaveLength(1);
    expect(tenHours((i) => atEnd(372.84, 30, i))).toEqual([]);
    expect(tenHours((i) => atEnd(373.15, 30, i))[0]!.measure).toBeCloseTo(31 / samples, 9);
  });

  it('is not clipped where it stands there only while the circuit heats: its span need not reach so far', () => {
    const heats = Uint8Array.from({ length: samples }, (_, i) => (i >= 1000 && i < 1100 ? 1 : 0));
    const whileHeating = (i: number) => (heats[i] === 1 ? 373.15 : quiet(i));
    expect(tenHours(whileHeating)).toMatchObject([{ kind: 'value-clipped' }]);
    expect(tenHours(whileHeating, { otherMode: heats })).toEqual([]);
    // At its end before it heats, too.
    const before = (i: number) => (i >= 900 && i < 1100 ? 373.15 : quiet(i));
    expect(tenHours(before, { otherMode: heats })).toMatchObject([{ kind: 'value-clipped' }]);
  });

  it('is not frozen either for standing there while the circuit heats', () => {
    const heats = Uint8Array.from({ length: samples }, (_, i) => (i >= 1200 && i < 2600 ? 1 : 0));
    const whileHeating = (i: number) => (heats[i] === 1 ? 373.15 : quiet(i));
    const kinds = (value: (i: number) => number, otherMode?: Uint8Array) =>
      tenHours(value, { otherMode }).map(({ kind }) => kind);
    expect(kinds(whileHeating, heats)).toEqual([]);
    // Away from the end of its span, a value that stands through a start is stuck in any mode.
    expect(kinds((i) => (heats[i] === 1 ? 295.005 : quiet(i)), heats)).toEqual(['value-frozen']);
  });

  it('is clipped elsewhere after three plateaus, or one of an hour', () => {
    const plateaus = (count: number) =>
      tenHours((i) => (i % 400 < 31 && i / 400 < count ? 296 : quiet(i)), { changes: [] }).map(
        ({ kind }) => kind,
      );
    expect(plateaus(3)).toEqual(['value-clipped']);
    expect(plateaus(2)).toEqual([]);
    const once = (length: number) =>
      tenHours((i) => (i >= 100 && i <= 100 + length ? 296 : quiet(i)), { changes: [] }).map(
        ({ kind }) => kind,
      );
    expect(once(360)).toEqual(['value-clipped']);
    expect(once(359)).toEqual([]);
  });
});

describe('a value sent in coarse steps, or on change', () => {
  const half = samples / 2;
  /** Held for two hours across the start, of which the companion moved by so much. */
  const held = (range_K: number, changed: Partial<Parameters<typeof signalFaults>[0]> = {}) =>
    tenHours((i) => (Math.abs(i - half) <= 360 ? 295.005 : quiet(i) + 0.5), {
      companion: {
        temperature_K: Float64Array.from({ length: samples }, (_, i) => 280 + (i < half ? 0 : range_K)),
        step_K: 0.1,
      },
      ...changed,
    }).filter(({ kind }) => kind === 'value-frozen').length;
  /** Held to the end of the record, so that it still lasts. */
  const lasting = (range_K: number, changed: Partial<Parameters<typeof signalFaults>[0]> = {}) =>
    tenHours((i) => (i >= half - 360 ? 295.005 : quiet(i)), {
      companion: {
        temperature_K: Float64Array.from({ length: samples }, (_, i) => 280 + (i < half ? 0 : range_K)),
        step_K: 0.1,
      },
      ...changed,
    }).filter(({ kind }) => kind === 'value-frozen').length;

  it('is stuck where what moves along with it moved by 1.5 K, or by six of its steps where these are more', () => {
    expect([lasting(1.6), lasting(1.4)]).toEqual([1, 0]);
    const step = (range_K: number) =>
      lasting(range_K, {
        companion: {
          temperature_K: Float64Array.from({ length: samples }, (_, i) => 280 + (i < half ? 0 : range_K)),
          step_K: 0.5,
        },
      });
    expect([step(3.1), step(2.9)]).toEqual([1, 0]);
  });

  it('is coarse from a quarter of the tolerance of 0.5 K on: then it takes twenty steps', () => {
    const sent = (resolution: number, deadband: number, range_K: number) =>
      lasting(range_K, { sent: { resolution, deadband } });
    expect([sent(0.06, 0.06, 1.6), sent(0.07, 0.06, 1.6)]).toEqual([1, 0]);
    expect([sent(0.07, 0.06, 2.1), sent(0.07, 0.06, 1.9)]).toEqual([1, 0]);
  });

  it('is not stuck once it moves again, if it stood for less than half of the time', () => {
    expect(held(5)).toBe(0);
    expect(lasting(5)).toBe(1);
  });

  it('is stuck through two starts or stops where what moves along with it is not sent', () => {
    const unknown = { temperature_K: new Float64Array(samples).fill(NaN), step_K: 0.1 };
    const through = (changes: number[]) => lasting(0, { companion: unknown, changes });
    expect(through([5 * hour_s])).toBe(0);
    expect(through([5 * hour_s, 6 * hour_s])).toBe(1);
    expect(through([hour_s, 5 * hour_s])).toBe(0);
  });

  it('may scatter by half a step and its deadband more', () => {
    const noise = (size: number) => (i: number) => 295 + (i % 2 ? size : -size) + 1e-4 * Math.sin(i * i);
    const deviation = (1.4826 * 4) / Math.sqrt(6);
    // Half of the tolerance, 0.25 K, and 0.1 + 0.3 K.
    const noisy = (share: number) =>
      tenHours(noise((share * 0.65) / deviation), { sent: { resolution: 0.2, deadband: 0.3 } });
    expect(noisy(1.02)).toHaveLength(1);
    expect(noisy(0.98)).toEqual([]);
  });

  it('jumps by three of its steps at least', () => {
    const jumps = (size: number) =>
      tenHours((i) => quiet(i) + (i % 500 === 250 ? size : 0), {
        sent: { resolution: 1, deadband: 0 },
        standing: [],
      });
    expect(jumps(3.1)).toHaveLength(1);
    expect(jumps(2.9)).toEqual([]);
  });
});
