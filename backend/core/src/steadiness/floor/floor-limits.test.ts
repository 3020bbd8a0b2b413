import { describe, expect, it } from 'vitest';
import type { SteadyFloor } from '../circuit-assessment.js';
import { window } from '../sample-window.js';
import type { WindowJudgement } from '../windows/window-judgement.js';
import { crossingAt } from './floor-crossing.js';
import { headroomOf } from './headroom.js';
import { calmOf, isDisturbed, roomOf } from './restlessness.js';
import { steadyFloorOf } from './steady-floor.js';

describe('the crossing worked by hand', () => {
  /** Superheat 3 and 5 K at loads `reach` to either side of 70 %: slope -0.5, off the plane by d crosswise. */
  const crosswise = (reach: number, d: number) =>
    [
      [-1, -1, d],
      [1, -1, -d],
      [-1, 1, -d],
      [1, 1, d],
    ].map(([x, l, off]) => ({ at: 70 + reach * l!, superheat_K: 4 + x!, excess: -0.5 * x! + off! }));

  it('has one degree of freedom of four windows with a trend over load, and grows away from their middle', () => {
    // Residual variance 4 d^2 / 1; leverage 1/4 at the middle, and 25 / 100 more 5 points away.
    const middle = crossingAt(crosswise(5, 0.1), 70)!;
    expect(middle.superheat_K).toBeCloseTo(4, 12);
    expect(middle.slope_per_K).toBeCloseTo(-0.5, 12);
    expect(middle.uncertainty_K).toBeCloseTo((0.2 * Math.sqrt(0.25)) / 0.5, 12);
    expect(middle.variation_K).toBeCloseTo(1, 12);
    expect(crossingAt(crosswise(5, 0.1), 75)!.uncertainty_K).toBeCloseTo((0.2 * Math.sqrt(0.5)) / 0.5, 12);
    expect(crossingAt(crosswise(5, 0.1), 65)!.uncertainty_K).toBeCloseTo((0.2 * Math.sqrt(0.5)) / 0.5, 12);
  });

  it('has two degrees of freedom, and no trend, where loads scatter by a point or less', () => {
    const near = crossingAt(crosswise(1, 0.1), 75)!;
    expect(near.uncertainty_K).toBeCloseTo((Math.sqrt(0.04 / 2) * Math.sqrt(0.25)) / 0.5, 12);
    expect(near.superheat_K).toBeCloseTo(4, 12);
    const wider = crossingAt(crosswise(1.01, 0.1), 70)!;
    expect(wider.uncertainty_K).toBeCloseTo((0.2 * Math.sqrt(0.25)) / 0.5, 12);
  });

  it('takes out what superheat and load have in common', () => {
    // Loads off their mean by -12, -8, 2 and 18 at superheats off theirs by -1.5, -0.5, 0.5 and 1.5.
    const loads = [-12, -8, 2, 18];
    const points = loads.map((l, i) => {
      const superheat_K = 3 + i;
      return { at: 70 + l, superheat_K, excess: -0.5 * (superheat_K - 4) + 0.02 * l };
    });
    // At 80 %: -0.5 (x - 4) + 0.2 = 0.
    const crossing = crossingAt(points, 80)!;
    expect(crossing.superheat_K).toBeCloseTo(4.4, 10);
    expect(crossing.slope_per_K).toBeCloseTo(-0.5, 10);
    // 5 - 50^2 / 536 is left of superheat's own movement.
    expect(crossing.variation_K).toBeCloseTo(Math.sqrt((5 - 2500 / 536) / 4), 10);
  });

  it('lies outside the windows where restlessness is off its limit throughout', () => {
    // Excess 1 at the mean, slope -0.5: two kelvin higher. Leverage 1/4 + 4/4.
    const raised = crosswise(0, 0.1).map((point) => ({ ...point, excess: point.excess + 1 }));
    const crossing = crossingAt(raised, 70)!;
    expect(crossing.superheat_K).toBeCloseTo(6, 12);
    expect(crossing.uncertainty_K).toBeCloseTo((Math.sqrt(0.02) * Math.sqrt(1.25)) / 0.5, 12);
  });

  it('needs four windows and a fall', () => {
    const line = (slope: number, n: number) =>
      Array.from({ length: n }, (_, i) => ({ at: 70, superheat_K: i, excess: slope * i }));
    expect(crossingAt(line(-1, 4), 70)).not.toBeNull();
    expect(crossingAt(line(-1, 3), 70)).toBeNull();
    expect(crossingAt(line(0, 4), 70)).toBeNull();
    expect(
      crossingAt(
        line(-1, 4).map((point) => ({ ...point, superheat_K: 5 })),
        70,
      ),
    ).toBeNull();
  });
});

interface Made {
  mean_K: number;
  load_pct?: number | null;
  /** Spread downwards, K. */
  restlessness?: number;
  robustSpread_K?: number;
  spread_K?: number;
  minutes?: number;
  amplitude_K?: number;
  oscillating?: boolean | null;
}

/** Two hours without entering water, so that the plain spread is the measure. */
function held(k: number, made: Made): WindowJudgement {
  const { mean_K, load_pct = 65, restlessness = 0.4, robustSpread_K = 0.4, minutes = 120 } = made;
  const one = window(k, {
    superheat: {
      minutes,
      mean_K,
      median_K: mean_K,
      percentile5_K: mean_K - 1.645 * restlessness,
      robustSpread_K,
      spread_K: made.spread_K ?? robustSpread_K,
      uncertainty_K: 0.3,
    },
    conditions: { compressorLoad_pct: load_pct, enteringWaterTemperature_K: null },
  });
  const swings = made.amplitude_K !== undefined;
  const oscillating = made.oscillating === undefined ? swings : made.oscillating;
  return { ...one, oscillation: { ...one.oscillation, oscillating, amplitude: made.amplitude_K ?? null } };
}
const floorOf = (...made: Made[]) => steadyFloorOf(made.map((one, k) => held(k, one)));
const partOf = (...made: Made[]) => floorOf(...made)!.parts.find(({ from }) => from === 60)!;
const at = (...superheats: number[]): Made[] => superheats.map((mean_K) => ({ mean_K }));

describe('the floor as an upper bound', () => {
  it('is the lowest of four steady windows, unseen by half of the way to the third', () => {
    const part = partOf(...at(8, 5, 7, 6));
    expect(part).toMatchObject({
      from: 60,
      to: 70,
      floor_K: 5,
      huntedUpTo_K: null,
      bracketed: false,
      steadyWindows: 4,
      huntingWindows: 0,
      steadyHours: 8,
    });
    expect(part.uncertainty_K).toBeCloseTo(Math.hypot(0.3, 1), 12);
    expect(partOf(...at(8, 5, 7)).floor_K).toBeNull();
  });

  it('is unseen by half of the way to the highest restless window under it', () => {
    const part = partOf(...at(5, 6, 7, 8), { mean_K: 4, amplitude_K: 1 }, { mean_K: 3, amplitude_K: 1 });
    expect(part).toMatchObject({ floor_K: 5, huntedUpTo_K: 4, steadyWindows: 4, huntingWindows: 2 });
    expect(part.uncertainty_K).toBeCloseTo(Math.hypot(0.3, 0.5), 12);
  });

  it('needs four steady hours', () => {
    const four = (minutes: number) => partOf(...at(5, 6, 7, 8).map((one) => ({ ...one, minutes })));
    expect(four(60).floor_K).toBe(5);
    expect(four(60).steadyHours).toBe(4);
    expect(four(59).floor_K).toBeNull();
  });

  it('allows a fifth of the windows to be on the wrong side', () => {
    const swinging = (mean_K: number) => ({ mean_K, amplitude_K: 1 });
    // Eight steady from 3 K, two that hunt above them.
    expect(partOf(...at(3, 4, 5, 6, 7, 8, 9, 10), swinging(11), swinging(12)).floor_K).toBe(3);
    expect(partOf(...at(3, 4, 5, 6, 7, 8, 9), swinging(11), swinging(12)).floor_K).toBeNull();
  });

  it('parts where the fewest windows are on the wrong side', () => {
    // Hunting at 3, 4 and 6, steady at 5, 7, 8, 9, 10 and 11: one wrong either way, between 4 and 5 or 6 and 7.
    const part = partOf(
      ...[3, 4, 6].map((mean_K) => ({ mean_K, amplitude_K: 1 })),
      ...at(5, 7, 8, 9, 10, 11),
    );
    expect(part.floor_K).toBe(5);
    expect(part.huntedUpTo_K).toBe(4);
  });
});

describe('a steady window', () => {
  const fourth = (made: Partial<Made>) => partOf(...at(6, 7, 8, 9), { mean_K: 5, ...made });

  it('is as calm as 2.5 times the calmest third', () => {
    expect(fourth({ restlessness: 0.999, robustSpread_K: 0.5 }).steadyWindows).toBe(5);
    expect(fourth({ restlessness: 1.001, robustSpread_K: 0.5 }).steadyWindows).toBe(4);
  });

  it('is calm anyway at a robust spread of 0.2 K, and never over 0.6 K', () => {
    expect(fourth({ restlessness: 3, robustSpread_K: 0.2 }).steadyWindows).toBe(5);
    expect(fourth({ restlessness: 3, robustSpread_K: 0.201 }).steadyWindows).toBe(4);
    expect(fourth({ robustSpread_K: 0.6 }).steadyWindows).toBe(5);
    expect(fourth({ robustSpread_K: 0.601 }).steadyWindows).toBe(4);
  });

  it('does not hunt, but may swing by under half a kelvin', () => {
    expect(fourth({ amplitude_K: 0.499 }).steadyWindows).toBe(5);
    expect(fourth({ amplitude_K: 0.5 }).huntingWindows).toBe(1);
  });

  it('counts from half an hour on, where it could be told whether it oscillates, and undisturbed', () => {
    expect(fourth({ minutes: 30 }).steadyWindows).toBe(5);
    expect(fourth({ minutes: 29.9 }).steadyWindows).toBe(4);
    expect(fourth({ oscillating: null }).steadyWindows).toBe(4);
    expect(fourth({ spread_K: 0.8 }).steadyWindows).toBe(5);
    expect(fourth({ spread_K: 0.801 }).steadyWindows).toBe(4);
  });

  it('is held against windows within 15 points of its part', () => {
    // At 50 % the circuit is calmer by far: what is steady at 65 % by itself is restless against that.
    const beside = (load_pct: number) =>
      partOf(
        ...at(5, 6, 7, 8).map((one) => ({ ...one, restlessness: 0.5 })),
        ...at(9, 10, 11, 12).map((one) => ({ ...one, load_pct, restlessness: 0.15 })),
      );
    expect(beside(50).steadyWindows).toBe(0);
    expect(beside(80).steadyWindows).toBe(0);
    expect(beside(49.9).steadyWindows).toBe(4);
    expect(beside(80.1).steadyWindows).toBe(4);
  });
});

describe('the parts of the floor', () => {
  it('begin with ten points and hold their lower end, the last one both', () => {
    const floor = floorOf(...[0, 9.99, 10, 60, 70, 90, 100].map((load_pct) => ({ mean_K: 6, load_pct })))!;
    expect(floor.parts.map(({ from, steadyWindows }) => [from, steadyWindows])).toEqual([
      [0, 2],
      [10, 1],
      [60, 1],
      [70, 1],
      [90, 2],
    ]);
    expect(floor.against).toBe('compressor-load');
    expect(floor.points[3]).toMatchObject({ at: 60, superheat_K: 6, hunting: false, steady: true });
  });

  it('go by load where four in five windows have one', () => {
    const some = (withLoad: number) =>
      floorOf(...Array.from({ length: 10 }, (_, k) => ({ mean_K: 6, load_pct: k < withLoad ? 65 : null })))!;
    expect(some(8).against).toBe('compressor-load');
    expect(some(8).points).toHaveLength(8);
    expect(some(7).against).toBe('valve-opening');
    expect(some(7).points).toHaveLength(10);
    expect(some(7).points[0]!.at).toBe(50);
  });

  it('are none without a window that counts', () => {
    expect(floorOf()).toBeNull();
    expect(floorOf({ mean_K: 6, minutes: 10 })).toBeNull();
  });
});

describe('headroom over several parts', () => {
  const floor = (points: [number, number][], steady = true): SteadyFloor =>
    ({
      against: 'compressor-load',
      parts: [
        { from: 50, to: 60, floor_K: 4, uncertainty_K: 0.3 },
        { from: 60, to: 70, floor_K: 5, uncertainty_K: 0.4 },
        { from: 70, to: 80, floor_K: 5, uncertainty_K: null },
      ],
      points: points.map(([at, superheat_K]) => ({ at, superheat_K, steady })),
    }) as unknown as SteadyFloor;

  it('is the mean over the windows, each against the floor of its part', () => {
    const found = headroomOf(
      floor([
        [50, 7],
        [60, 9],
      ]),
      1,
    )!;
    expect(found.held_K).toBe(8);
    expect(found.floor_K).toBe(4.5);
    expect(found.headroom_K).toBeCloseTo(2.5, 12);
    expect(found.uncertainty_K).toBeCloseTo(Math.sqrt((0.09 + 0.16) / 2), 12);
    // 1.25 K of evaporating temperature at 3.45 %.
    expect(found.energyFraction).toBeCloseTo(1 - 1 / (1 + 0.0345 * 1.25), 12);
  });

  it('counts no window beyond the parts, without an uncertainty, or that is not steady', () => {
    const share = (points: [number, number][]) => headroomOf(floor(points), 1)?.coveredFraction ?? null;
    expect(
      share([
        [55, 7],
        [70, 7],
      ]),
    ).toBe(0.5);
    expect(
      share([
        [55, 7],
        [80, 7],
      ]),
    ).toBe(0.5);
    expect(share([[49.9, 7]])).toBeNull();
    expect(headroomOf(floor([[55, 7]], false), 1)).toBeNull();
  });
});

describe('the room that is left for superheat', () => {
  it('is one kelvin at least, and not known without superheat', () => {
    // 285 - 276 = 9 K.
    expect(roomOf(window(0, { superheat: { mean_K: 8 } }))).toBe(1);
    expect(roomOf(window(0, { superheat: { mean_K: 7.5 } }))).toBe(1.5);
    expect(roomOf(window(0, { superheat: { mean_K: 30 } }))).toBe(1);
    expect(roomOf({ ...window(0), superheat: null })).toBeNull();
  });
});

describe('calm', () => {
  it('is the third of the windows, rounded up, the mean of their loads and the median of the rest', () => {
    const some = (n: number) =>
      calmOf(
        Array.from({ length: n }, (_, i) => ({ at: 10 * i, superheat_K: i, restlessness: 0.1 * (n - i) })),
      );
    // Of four the highest two: 3 and 2 at 30 and 20 %.
    expect(some(4).at).toBe(25);
    expect(some(4).superheat_K).toBe(2.5);
    expect(some(4).restlessness).toBeCloseTo(0.15, 12);
    expect(some(3)).toEqual({ at: 20, superheat_K: 2, restlessness: 0.1 });
  });
});

describe('a disturbed window', () => {
  it('has more than twice the robust spread, which counts as 0.1 K at least', () => {
    const spread = (spread_K: number, robustSpread_K: number) =>
      isDisturbed(window(0, { superheat: { spread_K, robustSpread_K } }));
    expect(spread(0.5, 0.25)).toBe(false);
    expect(spread(0.501, 0.25)).toBe(true);
    expect(spread(0.2, 0)).toBe(false);
    expect(spread(0.201, 0)).toBe(true);
  });
});
