import { describe, expect, it } from 'vitest';
import { huntingCauses, type HuntingCause } from '../../steadiness/circuit-assessment.js';
import { weighEvidence } from './cause-evidence.js';
import { weighCauses } from './hunting-causes.js';
import type { HuntingEvidence, SwingEvidence } from './hunting-evidence.js';
import { separatingCheck } from './separating-check.js';
import { plain } from './sample-evidence.js';

/**
 * The points are judgement, no source. They are written here once more beside the limits at which they change, so that
 * neither moves unnoticed.
 */
type Points = Partial<Record<HuntingCause, number>>;

function sums(evidence: HuntingEvidence): Points {
  const found: Points = {};
  weighEvidence(evidence, (cause, points) => {
    found[cause] = (found[cause] ?? 0) + points;
  });
  return found;
}

/** What a change of the evidence adds to each cause; causes it leaves alone are left out. */
function added(changed: Partial<HuntingEvidence>, base: Partial<HuntingEvidence> = {}): Points {
  const before = sums({ ...plain, ...base });
  const after = sums({ ...plain, ...base, ...changed });
  const difference: Points = {};
  for (const cause of huntingCauses) {
    const points = (after[cause] ?? 0) - (before[cause] ?? 0);
    if (Math.abs(points) > 1e-9) difference[cause] = Math.round(points * 1e9) / 1e9;
  }
  return difference;
}

const swing = (amplitude: number, coherence: number | null): SwingEvidence => ({
  signal: 'compressor-load',
  amplitude,
  coherence,
  varianceFraction: 0.5,
  lead_cycles: 0,
});

describe('points for friction', () => {
  it('are one where the opening is sent, but shows neither phase nor shape', () => {
    expect(added({ openingCoherence: 0.5 })).toEqual({ 'valve-friction': 1 });
    expect(added({ openingCoherence: 0.5, openingSwingScatter: 0.4 })).toEqual({});
    const phase = { notFrictionFraction: 0.5 };
    expect(added({ openingCoherence: 0.5 }, phase)).toEqual({});
  });

  it('are twice what the fraction of windows a quarter of a cycle apart has over a fifth', () => {
    expect(added({ frictionFraction: 0.5 })).toEqual({ 'valve-friction': 0.6, 'loop-too-tight': -0.5 });
    expect(added({ frictionFraction: 0.2 })).toEqual({ 'loop-too-tight': -0.2 });
    expect(added({ notFrictionFraction: 0.5 })).toEqual({ 'valve-friction': -0.4 });
  });

  const free = { lowest_K: 2.3, mean_K: 4.5, openingAmplitude_pct: 24, opening_pct: 40, amplitude_K: 1.5 };
  // What makes a loop unstable is the gain of the controller, of the valve or of the other circuit.
  const unstable = (points: number) => ({
    'loop-too-tight': points,
    'valve-too-large': points,
    'circuits-disturb-each-other': points,
  });
  const grown = { ...unstable(1.5), 'valve-friction': -2.5 };
  it('are lost to unstable loops where the swing has grown over its limits, not where it meets them', () => {
    // 0.6 of 40 % is 24 %.
    expect(added({ lowest_K: 2.299 }, free)).toEqual(grown);
    expect(added({ openingAmplitude_pct: 24.001 }, free)).toEqual(grown);
    expect(added({ lowest_K: 2.299 }, { ...free, amplitude_K: 1.2 })).toEqual({});
    expect(added({ lowest_K: 2.299 }, { ...free, amplitude_K: 1.201 })).toEqual(grown);
    // Neither mean nor opening: no limit is known.
    expect(added({ lowest_K: 2.299 }, { ...free, mean_K: null })).toEqual({});
    expect(added({ lowest_K: 2.299 }, { ...free, openingAmplitude_pct: null })).toEqual({});
    expect(
      added({ openingAmplitude_pct: 60 }, { ...free, openingAmplitude_pct: 40, opening_pct: null }),
    ).toEqual({});
  });

  it('follow the scatter of the swings under 0.3, under 0.38 and over 0.42', () => {
    const known = { ...free, openingSwing_pct: 10 };
    const at = (openingSwingScatter: number, base: Partial<HuntingEvidence> = known) =>
      added({ openingSwingScatter }, base);
    expect(at(0.299)).toEqual({ 'valve-friction': 3, 'under-steady-floor': -1 });
    expect(at(0.3)).toEqual({ 'valve-friction': 2, 'under-steady-floor': -1 });
    expect(at(0.38)).toEqual({});
    expect(at(0.42)).toEqual({});
    expect(at(0.421)).toEqual({ 'valve-friction': -2, ...unstable(0.7) });
    expect(at(0.2, { ...known, openingSwing_pct: null })).toEqual({});
    // At a limit the swings are alike by themselves, but may still scatter.
    expect(at(0.2, { ...known, lowest_K: 2 })).toEqual({});
    expect(at(0.5, { ...known, lowest_K: 2 })).toEqual({ 'valve-friction': -2, ...unstable(0.7) });
  });
});

describe('points for the size of the valve', () => {
  it('change under 20 and under 14 %', () => {
    expect(added({ opening_pct: 20 })).toEqual({ 'valve-too-large': -3 });
    expect(added({ opening_pct: 19.999 })).toEqual({ 'valve-too-large': 2, 'loop-too-tight': -0.8 });
    expect(added({ opening_pct: 14 })).toEqual({ 'valve-too-large': 2, 'loop-too-tight': -0.8 });
    expect(added({ opening_pct: 13.999 })).toEqual({ 'valve-too-large': 3, 'loop-too-tight': -0.8 });
  });

  it('take nothing from how it hunts over a fifth open where full load needs under 30 %', () => {
    const seen = { huntingFractionNearShut: 0.3, huntingFractionElsewhere: 1 };
    expect(added(seen, { opening_pct: 23, load_pct: 100 })).toEqual({});
    expect(added(seen, { opening_pct: 40, load_pct: 100 })).not.toEqual({});
  });

  it('change where full load would need under 30 %, told from loads of 30 % and more', () => {
    const at = (opening_pct: number, load_pct: number) => added({ opening_pct, load_pct });
    const large = (points: number) => ({ 'valve-too-large': points, 'loop-too-tight': -0.8 });
    // 0.3 of 80 % is 24 %.
    expect(at(23.99, 80)).toEqual(large(2));
    expect(at(24, 80)).toEqual({ 'valve-too-large': -3 });
    expect(at(19, 80)).toEqual(large(3));
    expect(at(19, 50)).toEqual(large(2));
    // A load over the full one counts as full; one under 30 % tells nothing.
    expect(at(29.9, 120)).toEqual(large(2));
    expect(at(8.7, 29.9)).toEqual(large(3));
    expect(at(15, 29.9)).toEqual(large(2));
  });

  it('go with how much more often it hunts nearly closed, where both are known', () => {
    const base = { opening_pct: 30 };
    // 0.9 - 0.5 = 0.4: 2.5 * 0.4 and -1.2 * 0.4.
    expect(added({ huntingFractionNearShut: 0.9, huntingFractionElsewhere: 0.5 }, base)).toEqual({
      'valve-too-large': 1,
      'loop-too-tight': -0.48,
    });
    expect(added({ huntingFractionNearShut: 0.9 }, base)).toEqual({});
    expect(added({ huntingFractionElsewhere: 0.9 }, base)).toEqual({});
    expect(added({ huntingFractionNearShut: 0.9, huntingFractionElsewhere: 0.5 })).toEqual({});
  });
});

describe('points for a swing from outside', () => {
  const inside = {
    'loop-too-tight': -1.5,
    'valve-friction': -2,
    'circuits-disturb-each-other': -3,
    'under-steady-floor': -1,
  };
  const looked = { load: swing(0, 0) };

  it('come from entering water of 0.1 K, coherence over a half, and over 0.7 of the leaving water', () => {
    const water = (amplitude: number, coherence: number | null, leaving: number | null = null) =>
      added(
        {
          enteringWater: swing(amplitude, coherence),
          leavingWater: leaving === null ? null : swing(leaving, 1),
        },
        looked,
      );
    const seen = { ...inside, 'load-or-water-swings': 4 };
    expect(water(0.1, 0.501)).toEqual(seen);
    expect(water(0.099, 0.9)).toEqual({ 'load-or-water-swings': -2 });
    expect(water(0.1, 0.5)).toEqual({ 'load-or-water-swings': -2 });
    expect(water(0.7, 0.9, 1)).toEqual({ 'load-or-water-swings': -2 });
    expect(water(0.701, 0.9, 1)).toEqual(seen);
  });

  it('come from a load of 1.5 points, coherence over 0.4, and over 2.5 points a kelvin', () => {
    const load = (amplitude: number, coherence: number | null, amplitude_K = 2) =>
      added({ load: swing(amplitude, coherence) }, { ...looked, amplitude_K });
    const seen = { ...inside, 'load-or-water-swings': 2 };
    expect(load(5, 0.9)).toEqual({ 'load-or-water-swings': -1 });
    expect(load(5.001, 0.9)).toEqual(seen);
    expect(load(5.001, 0.401)).toEqual(seen);
    expect(load(5.001, 0.4)).toEqual({});
    expect(load(5.001, null)).toEqual({});
    expect(load(1.5, 0.9)).toEqual({ 'load-or-water-swings': -1 });
    expect(load(1.499, 0.9)).toEqual({});
    // A swing of superheat under 0.1 K counts as 0.1 K: 1.5 / 0.1 = 15 points a kelvin.
    expect(load(1.5, 0.9, 0)).toEqual(seen);
  });

  it('are minus a half where neither water nor load was sent', () => {
    expect(sums(plain)['load-or-water-swings']).toBe(-0.5);
    expect(sums({ ...plain, ...looked })['load-or-water-swings'] ?? 0).toBe(0);
  });
});

describe('points for a superheat under the floor', () => {
  it('change 0.3 K under the floor', () => {
    const base = { mean_K: 4.5 };
    expect(added({ floor_K: 4.801 }, base)).toEqual({ 'under-steady-floor': 3 });
    // 5 - 0.5 = 4.5 lies under 5 - 0.3; 4.75 - 0.25 does not.
    expect(added({ floor_K: 4.75 }, base)).toEqual({ 'under-steady-floor': -1.5 });
    expect(added({ floor_K: 4.5 }, { mean_K: null })).toEqual({});
  });

  it('change at a mean of 4.2, 5 and 7 K', () => {
    const at = (mean_K: number, more: Partial<HuntingEvidence> = {}) =>
      added({ mean_K, ...more }, { amplitude_K: 2, ...more });
    expect(at(4.199)).toEqual({ 'under-steady-floor': 3.5 });
    expect(at(4.2)).toEqual({});
    // Half of 4 K is 2 K.
    expect(at(4)).toEqual({});
    expect(at(4, { amplitude_K: 1.999 })).toEqual({ 'under-steady-floor': 3.5 });
    expect(at(5)).toEqual({});
    expect(at(5.001)).toEqual({ 'under-steady-floor': -2 });
    expect(at(7)).toEqual({ 'under-steady-floor': -2 });
    expect(at(7.001)).toEqual({ 'under-steady-floor': -3.5 });
    // With a floor known, the floor is the measure: -1.5 for a mean above it, and -1.5 for one over 7 K.
    expect(at(6, { floor_K: 3 })).toEqual({ 'under-steady-floor': -1.5 });
    expect(at(8, { floor_K: 3 })).toEqual({ 'under-steady-floor': -3 });
  });
});

describe('points for a neighbour', () => {
  const cause = 'circuits-disturb-each-other' as const;
  const of = (change: Partial<HuntingEvidence>) => sums({ ...plain, ...change });

  it('are those of its share in the windows, over a half', () => {
    expect(of({})[cause]).toBe(-2);
    expect(of({ neighbourFraction: 0.5 })[cause]).toBe(-3);
    expect(of({ neighbourFraction: 0.6 })[cause]).toBeCloseTo(1.8, 12);
    // Over three times as far, this one follows it: two more.
    expect(of({ neighbourFraction: 0.6, neighbourRatio: 3 })[cause]).toBeCloseTo(1.8, 12);
    const follows = of({ neighbourFraction: 0.6, neighbourRatio: 3.001 });
    expect(follows[cause]).toBeCloseTo(3.8, 12);
    expect(follows['valve-friction']).toBe(-2);
    expect(follows['loop-too-tight']).toBe(-1);
    // Half a point was off already, since neither load nor water was sent.
    expect(follows['load-or-water-swings']).toBe(-1.5);
  });

  it('are taken off where it swings as far in less than a quarter of the windows that it swings along in', () => {
    const follows = { neighbourFraction: 0.2, neighbourRatio: 0.2 };
    expect(of({ ...follows, neighbourFollowsFraction: 0.601 })[cause]).toBe(-4);
    expect(of({ ...follows, neighbourFollowsFraction: 0.601 })['loop-too-tight']).toBe(0.5);
    // It swings at this period in 0.8 of the windows, and at times as far.
    expect(of({ ...follows, neighbourFollowsFraction: 0.599 })[cause]).toBeCloseTo(3 * 0.799, 9);
    expect(of({ ...follows, neighbourFollowsFraction: 0.1 })[cause]).toBe(-3);
    expect(of({ ...follows, neighbourFollowsFraction: null })[cause]).toBe(-3);
    expect(of({ ...follows, neighbourRatio: null, neighbourFollowsFraction: 0.1 })[cause]).toBe(-3);
  });

  it('go with how far its suction pressure swings where its superheat only follows', () => {
    const follows = { neighbourFraction: 0, neighbourFollowsFraction: 0.8, neighbourRatio: 0.2 };
    const at = (neighbourPressureRatio: number) => of({ ...follows, neighbourPressureRatio });
    expect(at(1.2)[cause]).toBeCloseTo(2.4, 12);
    expect(at(0.5)[cause]).toBeCloseTo(1.2, 12);
    expect(at(0.3)[cause]).toBe(-4);
    // Which of the two is the cause it does not tell.
    expect(at(1.2)['loop-too-tight'] ?? 0).toBe(of({})['loop-too-tight'] ?? 0);
  });

  it('are the log-likelihood of what was seen while it stood', () => {
    const seen = (alone: number, together: number) =>
      added({ alone: { hunting: alone, windows: 3 }, together: { hunting: together, windows: 8 } }, {})[
        cause
      ];
    // Nine in ten beside it: three that are steady alone have 0.85 over 0.1 each, more than is given for it.
    expect(seen(0, 8)).toBe(3);
    expect(seen(3, 8)).toBe(-3);
    // Half of them beside it: 3 ln(0.85 / 0.5) and 3 ln(0.15 / 0.5).
    expect(seen(0, 4)).toBeCloseTo(1.592, 3);
    expect(seen(3, 4)).toBe(-3);
    expect(seen(1, 4)).toBeCloseTo(Math.log(0.15 / 0.5) + 2 * Math.log(0.85 / 0.5), 6);
    // At these loads it does not hunt beside the other either.
    expect(seen(0, 0)).toBeUndefined();
  });

  it('go with how seldom the phase is kept as firmly by chance over so many windows', () => {
    const base = { neighbourFraction: 0.8 };
    const locked = (neighbourPhaseLocking: number, neighbourPhaseWindows: number) =>
      added({ neighbourPhaseLocking, neighbourPhaseWindows }, base);
    // exp(-n R^2): of 30 windows at 0.9 never; of 3 at 0.48 in a half of cases.
    expect(locked(0.9, 30)).toEqual({ [cause]: 1.5, 'loop-too-tight': -1.5 });
    const half = Math.sqrt(Math.log(2) / 3);
    expect(locked(half, 3)).toEqual({ 'loop-too-tight': -0.75 });
    expect(locked(0, 30)).toEqual({ [cause]: -1.5 });
    // The same locking over more windows says more.
    expect(locked(0.5, 12)[cause]).toBeGreaterThan(locked(0.5, 4)[cause]!);
    expect(added({ neighbourPhaseLocking: 0.9 }, base)).toEqual({});
  });
});

describe('points for noise of the measurement', () => {
  it('change at an opening that swings by 0.3 % and superheat by 1 K', () => {
    const at = (openingAmplitude_pct: number, amplitude_K: number) =>
      added({ openingAmplitude_pct }, { amplitude_K });
    expect(at(0.299, 0.999)).toEqual({ 'measurement-noise': 3 });
    expect(at(0.3, 0.999)).toEqual({ 'measurement-noise': -3 });
    expect(at(0.299, 1)).toEqual({ 'measurement-noise': -3 });
  });
});

describe('the list of causes', () => {
  it('keeps the likeliest and those of 3 %, in falling order, with each sentence under what it supports or contradicts', () => {
    const causes = weighCauses({ ...plain, openingAmplitude_pct: 0.1, amplitude_K: 0.6, opening_pct: 50 });
    const weights = causes.map(({ weight }) => weight);
    expect(weights).toEqual([...weights].sort((a, b) => b - a));
    expect(Math.min(...weights)).toBeGreaterThanOrEqual(0.03);
    const noise = causes.find(({ key }) => key === 'measurement-noise')!;
    expect(noise.supports).toHaveLength(1);
    expect(noise.contradicts).toHaveLength(0);
    // Noise: prior -1, three points for a valve that takes no part: 2. Tuning 1, friction and floor 0, outside
    // -0.5 - 0.5, neighbours -1 - 2, size -3.
    const total = Math.exp(2) + Math.exp(1) + 2 + Math.exp(-1) + 2 * Math.exp(-3);
    expect(noise.weight).toBeCloseTo(Math.exp(2) / total, 9);
    // Outside has e^-1 of 12.57, which is 2.9 %.
    expect(Math.exp(-1) / total).toBeLessThan(0.03);
    expect(causes.map(({ key }) => key)).toEqual([
      'measurement-noise',
      'loop-too-tight',
      'valve-friction',
      'under-steady-floor',
    ]);
  });

  it('has no word for or against where a piece of evidence adds nothing', () => {
    // Exactly a fifth of the windows: 2 * (0.2 - 0.2) = 0.
    const friction = weighCauses({ ...plain, frictionFraction: 0.2 }).find(
      ({ key }) => key === 'valve-friction',
    )!;
    expect([friction.supports, friction.contradicts]).toEqual([[], []]);
  });
});

describe('the check that separates two causes', () => {
  const cause = (key: HuntingCause) => ({ key, cause: key, weight: 0.4, supports: [], contradicts: [] });
  const check = (...keys: HuntingCause[]) => separatingCheck(keys.map(cause))?.text ?? null;

  it('is none where one stands alone', () => {
    expect(check('valve-friction')).toBeNull();
    expect(separatingCheck([])).toBeNull();
  });

  it('is the same whichever of the two comes first, and does not look at the third', () => {
    for (const a of huntingCauses)
      for (const b of huntingCauses) if (a !== b) expect(check(a, b)).toBe(check(b, a));
    expect(check('loop-too-tight', 'measurement-noise', 'valve-friction')).toBe(
      check('loop-too-tight', 'measurement-noise'),
    );
  });

  it('tries what tells the pair apart', () => {
    expect(check('loop-too-tight', 'valve-friction')).toMatch(/step the opening by 2 %/);
    expect(check('loop-too-tight', 'load-or-water-swings')).toMatch(/outside the circuit/);
    expect(check('loop-too-tight', 'circuits-disturb-each-other')).toMatch(/other circuit/);
    expect(check('loop-too-tight', 'under-steady-floor')).toMatch(/setpoint by 2 K/);
    expect(check('loop-too-tight', 'valve-too-large')).toMatch(/hours of high load/);
    expect(check('loop-too-tight', 'measurement-noise')).toMatch(/second sensor/);
    // Friction's check comes before all others: it also holds the valve still.
    expect(check('valve-friction', 'load-or-water-swings')).toMatch(/step the opening/);
  });
});
