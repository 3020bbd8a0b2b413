import { describe, expect, it } from 'vitest';
import { crossingAt } from './floor-crossing.js';
import { steadyFloorOf } from './steady-floor.js';
import type { RunningConditions, Steadiness, WindowJudgement } from '../windows/window-judgement.js';

const calm = 0.05;
const approach_K = 10;

interface Made {
  superheat?: Partial<Steadiness>;
  conditions?: Partial<RunningConditions>;
  amplitude_K?: number;
}

/** Two hours at a load and a superheat, as restless as given: spread downwards over the room left for superheat. */
function window(load_pct: number, mean_K: number, restlessness: number, made: Made = {}): WindowJudgement {
  const spread_K = restlessness * (approach_K - mean_K);
  return {
    superheat: {
      minutes: 120,
      mean_K,
      median_K: mean_K,
      percentile5_K: mean_K - 1.645 * spread_K,
      spread_K,
      robustSpread_K: spread_K,
      uncertainty_K: 0.3,
      ...made.superheat,
    },
    oscillation: {
      oscillating: made.amplitude_K !== undefined,
      amplitude: made.amplitude_K ?? null,
    },
    conditions: {
      compressorLoad_pct: load_pct,
      valveOpening_pct: 50,
      enteringWaterTemperature_K: 286.15,
      evaporatingTemperature_K: 286.15 - approach_K,
      ...made.conditions,
    },
  } as WindowJudgement;
}

const perKelvin = 0.28;
/** The limit of 1.4 times calm is passed at the floor; a kelvin or so above it the circuit is as calm as anywhere. */
const restlessnessAt = (superheat_K: number, floor_K: number): number =>
  calm * Math.max(1, 1.4 * Math.exp(perKelvin * (floor_K - superheat_K)));

const floorAt = (load_pct: number): number => 4.3 + 0.02 * (load_pct - 70);

/** A search between two superheats at loads of 46 to 94 %, the floor rising with load. */
function search(made: (superheat_K: number) => Made = () => ({}), from_K = 3): WindowJudgement[] {
  const windows: WindowJudgement[] = [];
  for (let load = 46; load < 95; load += 3)
    for (let superheat = from_K; superheat <= 8; superheat += 0.5)
      windows.push(window(load, superheat, restlessnessAt(superheat, floorAt(load)), made(superheat)));
  return windows;
}

/** The parts that have neighbours on both sides. */
const partsOf = (windows: WindowJudgement[]) =>
  steadyFloorOf(windows)!.parts.filter(({ from }) => from === 60 || from === 70);

describe('the steady floor', () => {
  it('lies where restlessness passes its limit, between the setpoints tried, and says how surely', () => {
    const parts = partsOf(search());
    expect(parts.map(({ from, bracketed }) => [from, bracketed])).toEqual([
      [60, true],
      [70, true],
    ]);
    for (const part of parts) {
      expect(Math.abs(part.floor_K! - floorAt(part.from + 5))).toBeLessThan(0.1);
      expect(part.huntedUpTo_K).toBe(4);
      // Sensors 0.3 K, and an eighth of doubt of the limit; the made windows hardly scatter.
      expect(part.uncertainty_K).toBeCloseTo(Math.hypot(0.3, 0.125 / perKelvin), 1);
    }
  });

  it('is not seen in the mere growth of the spread towards low superheat', () => {
    const windows = search().map(({ conditions, superheat }) =>
      window(conditions.compressorLoad_pct!, superheat!.mean_K, calm),
    );
    for (const part of partsOf(windows))
      expect(part).toMatchObject({ floor_K: 3, bracketed: false, huntedUpTo_K: null, huntingWindows: 0 });
  });

  it('is an upper bound where the circuit was never held low enough', () => {
    for (const part of partsOf(search(undefined, 4.5)))
      expect(part).toMatchObject({ floor_K: 4.5, bracketed: false, huntedUpTo_K: null });
  });

  it('is an upper bound where calm was only seen close above it', () => {
    const low = search().filter(({ superheat }) => superheat!.mean_K <= 5.5);
    for (const part of partsOf(low)) expect(part.bracketed).toBe(false);
  });

  it('is an upper bound where calm was only seen at other loads', () => {
    const windows = search().filter(
      ({ conditions, superheat }) => conditions.compressorLoad_pct! < 65 || superheat!.mean_K <= 5.5,
    );
    expect(partsOf(windows).map(({ bracketed }) => bracketed)).toEqual([false, false]);
  });

  it('is an upper bound where the loop swings well above it, or hunts below it', () => {
    const swinging = search((superheat_K) => (superheat_K > 5 ? { amplitude_K: 0.1 } : {}));
    const hunting = search((superheat_K) => (superheat_K < 4 ? { amplitude_K: 0.8 } : {}));
    for (const part of [...partsOf(swinging), ...partsOf(hunting)]) {
      expect(part.bracketed).toBe(false);
      expect(part.floor_K).toBe(4.5);
    }
  });

  it('is not claimed where entering water is not measured', () => {
    const windows = search(() => ({ conditions: { enteringWaterTemperature_K: null } }));
    expect(partsOf(windows).some((part) => part.bracketed)).toBe(false);
  });

  it('is not moved by windows that a few minutes disturbed', () => {
    const disturbed = [62, 66, 72, 76].flatMap((load) =>
      [5.5, 6, 6.5].map((mean_K) =>
        window(load, mean_K, calm, {
          superheat: { spread_K: 0.9, robustSpread_K: 0.2, percentile5_K: mean_K - 1 },
        }),
      ),
    );
    const floors = (windows: WindowJudgement[]) =>
      partsOf(windows).map(({ floor_K, bracketed }) => ({ floor_K, bracketed }));
    expect(floors([...search(), ...disturbed])).toEqual(floors(search()));
  });

  it('is not given from too few windows, nor where superheat never comes to rest', () => {
    expect(partsOf(search().filter((_, i) => i % 16 === 0)).every((part) => part.floor_K === null)).toBe(
      true,
    );
    const unsteady = search(() => ({ superheat: { robustSpread_K: 0.7, spread_K: 0.7 } }));
    expect(partsOf(unsteady).every((part) => part.floor_K === null)).toBe(true);
    expect(steadyFloorOf([])).toBeNull();
  });
});

describe('a part of the load', () => {
  /** So many calm windows at 65 % load, one superheat apart by 0.1 K from 6 K on, each of so many minutes. */
  const part = (count: number, minutes = 120, load_pct = 65) =>
    steadyFloorOf(
      Array.from({ length: count }, (_, i) =>
        window(load_pct, 6 + 0.1 * i, calm, { superheat: { minutes } }),
      ),
    )?.parts[0];

  it('has a floor from four steady windows and four steady hours on', () => {
    expect(part(3)!.floor_K).toBeNull();
    expect(part(4)).toMatchObject({ floor_K: 6, steadyWindows: 4, steadyHours: 8, bracketed: false });
    expect(part(8, 30)!.floor_K).toBe(6);
    expect(part(7, 30)!.floor_K).toBeNull();
    expect(part(8, 29)).toBeUndefined();
    // An upper bound, unsure by half of what lies between its first and its third window, and by the sensors.
    expect(part(4)!.uncertainty_K).toBeCloseTo(Math.hypot(0.3, 0.1), 9);
  });

  it('is ten points wide, the last with full load in it', () => {
    expect([part(4, 120, 60)!.from, part(4, 120, 69.9)!.from, part(4, 120, 70)!.from]).toEqual([60, 60, 70]);
    expect(part(4, 120, 100)).toMatchObject({ from: 90, to: 100 });
  });

  it('has no floor where more than a fifth of its windows are restless above it', () => {
    const mixed = (restlessOnes: number) =>
      steadyFloorOf([
        ...Array.from({ length: 20 - restlessOnes }, (_, i) => window(65, 6 + 0.1 * i, calm)),
        ...Array.from({ length: restlessOnes }, (_, i) => window(65, 7.55 + 0.001 * i, 6 * calm)),
      ])!.parts[0]!.floor_K;
    expect(mixed(4)).toBe(6);
    expect(mixed(5)).toBeNull();
  });

  it('goes by the opening where fewer than four in five windows have a load', () => {
    const against = (without: number) =>
      steadyFloorOf(
        Array.from({ length: 10 }, (_, i) =>
          window(65, 6 + 0.1 * i, calm, i < without ? { conditions: { compressorLoad_pct: null } } : {}),
        ),
      )!;
    expect(against(2).against).toBe('compressor-load');
    expect(against(2).points).toHaveLength(8);
    expect(against(3).against).toBe('valve-opening');
    expect(against(3).parts[0]!.from).toBe(50);
  });
});

describe('the crossing', () => {
  it('is exact on a plane, at the load asked for', () => {
    const points = [3, 4, 5, 6].flatMap((superheat_K) =>
      [60, 70, 80].map((at) => ({ at, superheat_K, excess: -0.5 * (superheat_K - 4) + 0.01 * (at - 70) })),
    );
    const crossing = crossingAt(points, 75)!;
    expect(crossing.superheat_K).toBeCloseTo(4.1, 10);
    expect(crossing.slope_per_K).toBeCloseTo(-0.5, 10);
    expect(crossing.uncertainty_K).toBeCloseTo(0, 6);
    expect(crossing.variation_K).toBeCloseTo(Math.sqrt(1.25), 10);
  });

  it('has the uncertainty of the regression, worked by hand', () => {
    // Sums of squares 5 and 1.64, of products -2.8: slope -0.56, residuals 0.072 over 2 degrees of freedom.
    const points = [0.9, 0.1, -0.1, -0.9].map((excess, i) => ({ at: 70, superheat_K: 3 + i, excess }));
    const crossing = crossingAt(points, 75)!;
    expect(crossing.superheat_K).toBeCloseTo(4.5, 10);
    expect(crossing.slope_per_K).toBeCloseTo(-0.56, 10);
    expect(crossing.uncertainty_K).toBeCloseTo(Math.sqrt(0.036 / 4) / 0.56, 10);
  });

  it('is not given where restlessness rises with superheat, nor where superheat moved only with load', () => {
    const rising = [3, 4, 5, 6].map((superheat_K, i) => ({
      at: 60 + (i % 2),
      superheat_K,
      excess: superheat_K,
    }));
    expect(crossingAt(rising, 65)).toBeNull();
    const together = [3, 4, 5, 6].map((superheat_K) => ({
      at: 10 * superheat_K,
      superheat_K,
      excess: -superheat_K,
    }));
    expect(crossingAt(together, 45)).toBeNull();
    expect(crossingAt(rising.slice(0, 3), 65)).toBeNull();
  });
});
