import { describe, expect, it } from 'vitest';
import { window, type Change } from '../../steadiness/sample-window.js';
import type { SteadyFloor } from '../../steadiness/circuit-assessment.js';
import type { WindowJudgement, WindowOscillation } from '../../steadiness/windows/window-judgement.js';
import { assessHunting } from '../hunting-assessment.js';
import { huntingEvidence } from './hunting-evidence.js';
import { huntingWindow, partner } from './sample-hunting.js';

/** The swing of a neighbour is told against one of 3 K. */
const swinging = (k: number, oscillation: Partial<WindowOscillation> = {}, change: Change = {}) =>
  huntingWindow(k, { amplitude: 3, ...oscillation }, change);
const some = (n: number, of: (k: number) => Partial<WindowOscillation> = () => ({})) =>
  Array.from({ length: n }, (_, k) => swinging(k, of(k)));
const evidence = (windows: WindowJudgement[], neighbours: WindowJudgement[][] = []) =>
  huntingEvidence(windows, neighbours, null)!;

describe('the evidence of hunting windows, worked by hand', () => {
  it('has half of the distance between the 16th and 84th percentile of the periods as their scatter', () => {
    // 101 periods from 150 to 250 s: percentiles 166 and 234 s, median 200 s; 34 / 200.
    const seen = evidence(some(101, (k) => ({ period_s: 150 + k })));
    expect(seen.period_s).toBe(200);
    expect(seen.periodScatter).toBeCloseTo(0.17, 9);
  });

  it('has the mean direction of a partner around the circle', () => {
    const swung = (lead_cycles: number) => partner('compressor-load', { amplitude: 4, lead_cycles });
    // A tenth before and after half a cycle: half a cycle, not none.
    const { load } = evidence(some(2, (k) => ({ partners: [swung(k ? 0.45 : -0.45)] })));
    expect(Math.abs(load!.lead_cycles)).toBeCloseTo(0.5, 9);
    expect(load).toMatchObject({
      signal: 'compressor-load',
      amplitude: 4,
      coherence: 0.9,
      varianceFraction: 0.5,
    });
    const early = evidence(some(2, (k) => ({ partners: [swung(k ? 0.1 : 0.3)] }))).load!;
    expect(early.lead_cycles).toBeCloseTo(0.2, 9);
    // Half of the windows are enough, fewer are not.
    const seldom = (having: number) =>
      evidence(some(4, (k) => ({ partners: k < having ? [swung(0)] : [] }))).load;
    expect(seldom(2)).not.toBeNull();
    expect(seldom(1)).toBeNull();
  });

  it('counts a window as near shut under 20 %, not at it', () => {
    const at = (valveOpening_pct: number) =>
      evidence([swinging(0, {}, { conditions: { valveOpening_pct } })]);
    expect(at(19.999)).toMatchObject({ huntingFractionNearShut: 1, huntingFractionElsewhere: null });
    expect(at(20)).toMatchObject({ huntingFractionNearShut: null, huntingFractionElsewhere: 1 });
  });

  it('finds the floor of a part at its lower end, and at full load of the last', () => {
    const floor = {
      against: 'compressor-load',
      parts: [
        { from: 60, to: 70, floor_K: 4 },
        { from: 70, to: 80, floor_K: 5 },
        { from: 80, to: 90, floor_K: 6 },
      ],
    } as unknown as SteadyFloor;
    const at = (compressorLoad_pct: number | null) =>
      huntingEvidence([swinging(0, {}, { conditions: { compressorLoad_pct } })], [], floor)!.floor_K;
    expect([at(60), at(69.9), at(70), at(80), at(89.9)]).toEqual([4, 4, 5, 6, 6]);
    expect([at(59.9), at(90), at(100), at(null)]).toEqual([null, null, null, null]);
  });

  it('takes windows as steady from half an hour on', () => {
    const steady = (minutes: number) =>
      evidence([swinging(0), window(1, { superheat: { minutes, mean_K: 7 } })]);
    expect(steady(30)).toMatchObject({
      steadyWindows: 1,
      steadyMean_K: 7,
      steadyOpening_pct: 50,
      steadyLoad_pct: 70,
    });
    expect(steady(29.9)).toMatchObject({ steadyWindows: 0, steadyMean_K: null });
  });
});

describe('a neighbour at the limits', () => {
  const beside = (of: Partial<WindowOscillation>) => evidence(some(3), [some(3, () => of)]);

  it('shares the swing at a third of it, and follows under that', () => {
    expect(beside({ amplitude: 1 })).toMatchObject({ neighbourFraction: 1, neighbourFollowsFraction: 0 });
    expect(beside({ amplitude: 0.999 })).toMatchObject({ neighbourFraction: 0, neighbourFollowsFraction: 1 });
    expect(beside({ amplitude: null })).toMatchObject({ neighbourFraction: 0, neighbourRatio: 0 });
  });

  it('shares the period within 3 %', () => {
    expect(beside({ period_s: 205.9 }).neighbourFraction).toBe(1);
    expect(beside({ period_s: 206.1 }).neighbourFraction).toBe(0);
    expect(beside({ period_s: 194.1 }).neighbourFraction).toBe(1);
    expect(beside({ period_s: 193.9 }).neighbourFraction).toBe(0);
    expect(beside({ period_s: null }).neighbourFraction).toBe(0);
  });

  it('is behind by the time from crest to crest over the period', () => {
    const behind = evidence(some(3), [some(3, (k) => ({ crest_s: window(k).from_s + 3600 + 30 }))]);
    expect(behind.neighbourLead_cycles).toBeCloseTo(0.15, 9);
    const before = evidence(some(3), [some(3, (k) => ({ crest_s: window(k).from_s + 3600 - 30 }))]);
    expect(before.neighbourLead_cycles).toBeCloseTo(-0.15, 9);
  });

  it('keeps a phase from three windows on, as firm as the mean of its directions is long', () => {
    // 0, 1/3 and 2/3 of a cycle cancel; 0, 0 and a half leave a third.
    const firm = (leads: number[]) =>
      evidence(some(leads.length), [
        some(leads.length, (k) => ({ crest_s: window(k).from_s + 3600 + 200 * leads[k]! })),
      ]).neighbourPhaseLocking;
    // Times since the epoch are known to some 2e-7 s.
    expect(firm([0, 1 / 3, 2 / 3])).toBeCloseTo(0, 7);
    expect(firm([0, 0, 0.5])).toBeCloseTo(1 / 3, 7);
    expect(firm([0, 0])).toBeNull();
    const windows = (n: number) =>
      evidence(some(n), [some(n, (k) => ({ crest_s: window(k).from_s }))]).neighbourPhaseWindows;
    expect([windows(2), windows(5)]).toEqual([null, 5]);
  });
});

describe('a neighbour that only follows', () => {
  const pressure = (amplitude: number, coherence: number | null = 0.9) => [
    partner('suction-pressure', { amplitude, coherence }),
  ];
  const beside = (theirs: ReturnType<typeof pressure>, amplitude = 0.6) =>
    evidence(
      some(3, () => ({ partners: pressure(10_000) })),
      [some(3, () => ({ amplitude, partners: theirs }))],
    ).neighbourPressureRatio;

  it('is told from one that takes heat from this circuit by how far its suction pressure swings', () => {
    expect(beside(pressure(11_000))).toBeCloseTo(1.1, 12);
    expect(beside(pressure(500))).toBeCloseTo(0.05, 12);
  });

  it('tells nothing by a pressure that swings otherwise, or is not known', () => {
    expect(beside(pressure(11_000, 0.49))).toBeNull();
    expect(beside(pressure(11_000, null))).toBeNull();
    expect(beside([])).toBeNull();
  });

  it('does not follow where its superheat swings as far', () => {
    expect(beside(pressure(11_000), 3)).toBeNull();
  });
});

describe('windows while the other circuit stands', () => {
  const standing = (k: number): WindowJudgement => {
    const one = window(k);
    return { ...one, minutes: { ...one.minutes, standing: 120, steady: 0 }, superheat: null };
  };
  const steady = (k: number, load = 70): WindowJudgement => ({
    ...window(k, { conditions: { compressorLoad_pct: load } }),
  });
  const hunting = (k: number, load = 70) => swinging(k, {}, { conditions: { compressorLoad_pct: load } });
  /** The other circuit stands over the first `count` windows and runs over the others. */
  const other = (count: number, n: number) =>
    Array.from({ length: n }, (_, k) => (k < count ? standing(k) : steady(k)));

  it('are counted apart from those while it runs', () => {
    const windows = [steady(0), steady(1), hunting(2), hunting(3), hunting(4), steady(5), hunting(6)];
    expect(evidence(windows, [other(3, 7)])).toMatchObject({
      alone: { hunting: 1, windows: 3 },
      together: { hunting: 3, windows: 4 },
    });
  });

  it('are compared at like loads only', () => {
    const windows = [0, 1, 2].map((k) => steady(k, 50));
    const beside = (load: number) =>
      evidence([...windows, ...[3, 4, 5].map((k) => hunting(k, load))], [other(3, 6)]).together;
    expect(beside(60)).toEqual({ hunting: 3, windows: 3 });
    expect(beside(60.1)).toBeNull();
  });

  it('are not compared under three of either, or where nothing is known of the other', () => {
    const windows = [steady(0), steady(1), steady(2), hunting(3), hunting(4), hunting(5)];
    expect(evidence(windows, [other(2, 6)]).alone).toBeNull();
    expect(evidence(windows.slice(0, 5), [other(3, 5)]).together).toBeNull();
    expect(evidence(windows, [other(3, 6).slice(3)]).alone).toBeNull();
    expect(evidence(windows).alone).toBeNull();
  });
});

describe('an assessment where the level of superheat says nothing', () => {
  it('weighs no cause by it', () => {
    const windows = some(4, () => ({ amplitude: 1 })).map((one) => ({
      ...one,
      superheat: { ...one.superheat!, mean_K: 3 },
    }));
    const weight = (levelCounts: boolean) =>
      assessHunting(windows, [], null, levelCounts)!.causes.find(({ key }) => key === 'under-steady-floor')!;
    expect(weight(true).supports).toHaveLength(1);
    expect(weight(false).supports).toHaveLength(0);
    expect(weight(true).weight).toBeGreaterThan(weight(false).weight);
  });
});
