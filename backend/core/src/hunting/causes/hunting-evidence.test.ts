import { describe, expect, it } from 'vitest';
import { days, window, type Change } from '../../steadiness/sample-window.js';
import type { SteadyFloor } from '../../steadiness/circuit-assessment.js';
import type { WindowJudgement, WindowOscillation } from '../../steadiness/windows/window-judgement.js';
import { assessHunting } from '../hunting-assessment.js';
import { huntingEvidence } from './hunting-evidence.js';
import { huntingWindow, partner } from './sample-hunting.js';

const four = (of: (k: number) => Partial<WindowOscillation> = () => ({})) =>
  [0, 1, 2, 3].map((k) => huntingWindow(k, of(k)));
const evidence = (
  windows: WindowJudgement[],
  neighbours: WindowJudgement[][] = [],
  floor: SteadyFloor | null = null,
) => huntingEvidence(windows, neighbours, floor)!;

describe('what hunting windows say together', () => {
  it('is the median over the windows that hunt, and nothing without any', () => {
    const seen = evidence([
      huntingWindow(
        0,
        { period_s: 190, amplitude: 1 },
        { superheat: { mean_K: 5, percentile1_K: 1 }, conditions: { valveOpening_pct: 30 } },
      ),
      huntingWindow(
        1,
        { period_s: 200, amplitude: 2 },
        { superheat: { mean_K: 6, percentile1_K: 2 }, conditions: { valveOpening_pct: 40 } },
      ),
      huntingWindow(
        2,
        { period_s: 220, amplitude: 6 },
        { superheat: { mean_K: 9, percentile1_K: 4 }, conditions: { valveOpening_pct: 45 } },
      ),
      window(3, { superheat: { mean_K: 20 }, conditions: { valveOpening_pct: 90 } }),
    ]);
    expect(seen).toMatchObject({
      windows: 3,
      period_s: 200,
      amplitude_K: 2,
      mean_K: 6,
      lowest_K: 2,
      opening_pct: 40,
      steadyWindows: 1,
      steadyMean_K: 20,
      steadyOpening_pct: 90,
    });
    // 16th and 84th percentile of 190, 200 and 220 s, by straight lines: 193.2 and 213.6.
    expect(seen.periodScatter).toBeCloseTo((213.6 - 193.2) / 2 / 200, 9);
    expect(huntingEvidence(days(1), [], null)).toBeNull();
  });

  it('counts as steady what does not oscillate for half an hour', () => {
    const steady = (change: Partial<WindowOscillation>, minutes: number) => {
      const one = window(5, { superheat: { minutes } });
      return evidence([...four(), { ...one, oscillation: { ...one.oscillation, ...change } }]).steadyWindows;
    };
    expect(steady({ oscillating: false }, 30)).toBe(1);
    expect(steady({ oscillating: false }, 29)).toBe(0);
    expect(steady({ oscillating: null }, 120)).toBe(0);
    expect(steady({ oscillating: true, amplitude: 0.4 }, 120)).toBe(0);
  });

  it('tells how often the cross-correlation calls it friction, and anything else', () => {
    const origins = ['valve-friction', 'valve-friction', 'not-valve-friction', 'undecided'] as const;
    const seen = evidence(four((k) => ({ origin: origins[k]!, originIndices: { deltaTau: 0.2 * k } })));
    expect(seen.frictionFraction).toBe(0.5);
    expect(seen.notFrictionFraction).toBe(0.25);
    expect(seen.deltaTau).toBeCloseTo(0.3, 9);
  });

  it('takes a signal into account that half of the windows have', () => {
    const have = (count: number) =>
      evidence(
        four((k) => ({
          partners:
            k < count
              ? [partner('entering-water', { amplitude: 0.1 * (k + 1), lead_cycles: k % 2 ? 0.45 : -0.45 })]
              : [],
        })),
      ).enteringWater;
    expect(have(1)).toBeNull();
    expect(have(2)!.amplitude).toBeCloseTo(0.15, 9);
    expect(have(2)!.coherence).toBeCloseTo(0.9, 9);
    expect(have(2)!.varianceFraction).toBeCloseTo(0.5, 9);
    // The mean of 0.45 and -0.45 of a cycle is half a cycle.
    expect(Math.abs(have(2)!.lead_cycles)).toBeCloseTo(0.5, 9);
    const load = evidence(
      four(() => ({
        partners: [partner('compressor-load'), partner('valve-opening', { amplitude: 7, coherence: 0.4 })],
      })),
    );
    expect(load.load!.signal).toBe('compressor-load');
    expect(load).toMatchObject({
      openingAmplitude_pct: 7,
      openingCoherence: 0.4,
      leavingWater: null,
      setpoint: null,
      pressure: null,
    });
  });

  it('tells how often it hunts with the valve under a fifth open, and otherwise', () => {
    const at = (valveOpening_pct: number): Change => ({ conditions: { valveOpening_pct } });
    const seen = evidence([
      huntingWindow(0, {}, at(15)),
      huntingWindow(1, {}, at(19.9)),
      window(2, at(10)),
      window(3, at(60)),
      huntingWindow(4, {}, at(20)),
      window(5, at(70)),
    ]);
    expect(seen.huntingFractionNearShut).toBeCloseTo(2 / 3, 9);
    expect(seen.huntingFractionElsewhere).toBeCloseTo(1 / 3, 9);
    expect(evidence(four()).huntingFractionNearShut).toBeNull();
  });

  it('looks up the steady floor at the load, or at the opening, of the hunting windows', () => {
    const floor = (against: SteadyFloor['against']): SteadyFloor =>
      ({
        against,
        parts: [
          { from: 40, to: 60, floor_K: 4 },
          { from: 60, to: 80, floor_K: 5 },
          { from: 80, to: 100, floor_K: 6 },
        ],
      }) as unknown as SteadyFloor;
    // 70 % load, valve half open.
    expect(evidence(four(), [], floor('compressor-load')).floor_K).toBe(5);
    expect(evidence(four(), [], floor('valve-opening')).floor_K).toBe(4);
    const full = [0, 1, 2].map((k) => huntingWindow(k, {}, { conditions: { compressorLoad_pct: 100 } }));
    expect(evidence(full, [], floor('compressor-load')).floor_K).toBe(6);
    const low = [0, 1, 2].map((k) => huntingWindow(k, {}, { conditions: { compressorLoad_pct: 39 } }));
    expect(evidence(low, [], floor('compressor-load')).floor_K).toBeNull();
    expect(evidence(four()).floor_K).toBeNull();
  });
});

describe('what the other circuit does meanwhile', () => {
  const beside = (of: (k: number) => Partial<WindowOscillation>) => evidence(four(), [four(of)]);

  it('shares the swing where its period lies within 3 % and it swings at least a third as far', () => {
    expect(beside(() => ({ period_s: 205 }))).toMatchObject({
      neighbourFraction: 1,
      neighbourFollowsFraction: 0,
      neighbourRatio: 1,
    });
    expect(beside(() => ({ period_s: 207 }))).toMatchObject({ neighbourFraction: 0, neighbourRatio: null });
    expect(beside(() => ({ period_s: 193 })).neighbourFraction).toBe(0);
    expect(beside(() => ({ amplitude: 0.7 }))).toMatchObject({
      neighbourFraction: 1,
      neighbourFollowsFraction: 0,
    });
    expect(beside(() => ({ amplitude: 0.6 }))).toMatchObject({
      neighbourFraction: 0,
      neighbourFollowsFraction: 1,
    });
    expect(beside((k) => ({ oscillating: k < 1 })).neighbourFraction).toBe(0.25);
  });

  it('is not known where there is none, or none that could be judged', () => {
    expect(evidence(four()).neighbourFraction).toBeNull();
    expect(beside(() => ({ oscillating: null })).neighbourFraction).toBeNull();
    const other = [4, 5, 6, 7].map((k) => huntingWindow(k));
    expect(evidence(four(), [other]).neighbourFraction).toBeNull();
  });

  it('is that of the one that swings furthest', () => {
    const seen = evidence(four(), [four(() => ({ amplitude: 1 })), four(() => ({ amplitude: 3 }))]);
    expect(seen.neighbourRatio).toBe(1.5);
  });

  it('keeps its phase where its crests come as much later each time', () => {
    const later = (of: (k: number) => number) =>
      beside((k) => ({ crest_s: window(k).from_s + 3600 + 200 * of(k) }));
    const locked = later(() => 0.2);
    expect(locked.neighbourLead_cycles).toBeCloseTo(0.2, 9);
    expect(locked.neighbourPhaseLocking).toBeCloseTo(1, 9);
    // A quarter of a cycle further each time: the four cancel.
    expect(later((k) => k / 4).neighbourPhaseLocking).toBeCloseTo(0, 9);
    expect(later((k) => (k % 2 ? 0.25 : 0)).neighbourPhaseLocking).toBeCloseTo(Math.SQRT1_2, 9);
    expect(beside((k) => (k < 2 ? {} : { oscillating: false })).neighbourPhaseLocking).toBeNull();
    expect(beside((k) => (k < 3 ? {} : { oscillating: false })).neighbourPhaseLocking).not.toBeNull();
    expect(beside(() => ({ crest_s: null })).neighbourLead_cycles).toBeNull();
  });
});

describe('hunting is spoken of', () => {
  const said = (windows: WindowJudgement[]) => assessHunting(windows, [], null);

  it('from an hour, and a tenth of the minutes judged', () => {
    const minutes = (huntingMinutes: number) => said([huntingWindow(0, { huntingMinutes }), window(1)]);
    expect(minutes(59)).toBeNull();
    expect(minutes(60)).not.toBeNull();
    // One window of 120 minutes in nine, in ten and in eleven.
    const among = (others: number) =>
      said([huntingWindow(0), ...Array.from({ length: others }, (_, k) => window(k + 1))]);
    expect(among(8)).toMatchObject({ huntingMinutes: 120, judgedMinutes: 1080, windows: 1 });
    expect(among(9)).not.toBeNull();
    expect(among(10)).toBeNull();
  });

  it('with when it was first and last seen', () => {
    const windows = [window(0), huntingWindow(1), window(2), huntingWindow(3), window(4)];
    expect(said(windows)).toMatchObject({
      firstSeen_s: windows[1]!.from_s,
      lastSeen_s: windows[3]!.to_s,
      period_s: 200,
      amplitude_K: 2,
    });
    expect(said(days(1))).toBeNull();
  });
});
