import { describe, expect, it } from 'vitest';
import { r134a, saturated, state } from '../../diagnosis/causes/sample-channels.js';
import { normalDraws, seededRandom } from '../../numerics/index.js';
import { judgePlateaus } from '../departures/judge-plateaus.js';
import type { Plateau } from '../plateaus/find-plateaus.js';
import { channels } from '../plateaus/channels.js';
import { cohortNormal, leastLike, type LikeCircuit } from './cohort-normal.js';
import { learnCircuitNormal } from './learn-normal.js';

const machine = r134a();

interface Build {
  /** Of the capacity of `state`, 418 kW. */
  size: number;
  /** Condenser approach at full load, K; it goes with the load. */
  approach_K: number;
  subcooling_K: number;
}

const capacity_W = ({ size }: Build): number => 418_000 * size;

/** Forty plateaus of a unit over its loads and condenser water. */
function plateausOf(build: Build, seed: number): Plateau[] {
  const random = seededRandom(seed);
  const noise = normalDraws(seededRandom(seed + 1000));
  return Array.from({ length: 40 }, (_, k) => {
    const load = 0.4 + 0.6 * random();
    const sink = 295 + 10 * random();
    const leaving = sink + 5 * load;
    const condensing = leaving + build.approach_K * load + 0.05 * noise();
    const flows = { waterFlow_m3_s: 0.02 * build.size, condenserFlow_m3_s: 0.025 * build.size };
    const at = {
      ...state,
      ...flows,
      enteringWaterTemperature_K: 280 + 5 * load + 0.02 * noise(),
      compressorPower_W: 104_500 * build.size * load * (1 + 0.005 * noise()),
      compressorLoad_pct: 100 * load,
      condenserEnteringTemperature_K: sink,
      condenserLeavingTemperature_K: leaving,
      dischargePressure_Pa: saturated(condensing),
      dischargeTemperature_K: condensing + 21 + 0.2 * noise(),
      liquidTemperature_K: condensing - build.subcooling_K + 0.1 * noise(),
    };
    const values = Object.fromEntries(
      channels
        .filter((name) => Number.isFinite(at[name]))
        .map((name) => [name, { value: at[name], uncertainty: 0 }]),
    );
    return { from_s: k * 7200, to_s: k * 7200 + 3600, values } as Plateau;
  });
}

const draw = normalDraws(seededRandom(2));
const another = (): Build => ({
  size: Math.exp(0.25 * draw()),
  approach_K: 3 + 0.15 * draw(),
  subcooling_K: 5 + 0.3 * draw(),
});
const like: LikeCircuit[] = Array.from({ length: 10 }, (_, k) => {
  const build = another();
  return {
    machine,
    capacity_W: capacity_W(build),
    normal: learnCircuitNormal(machine, plateausOf(build, k))!,
  };
});

/** Share of a unit's plateaus that are over the limit. */
function overOf(build: Build, seed: number): number {
  const plateaus = plateausOf(build, seed);
  const normal = cohortNormal(machine, capacity_W(build), like, plateaus)!;
  const judged = judgePlateaus(machine, normal, plateaus);
  return judged.filter(({ overLimit }) => overLimit).length / judged.length;
}

describe('what like units do', () => {
  it('is expected of a new unit of another size at its own conditions, as well as units are alike', () => {
    const build: Build = { size: 1.5, approach_K: 3, subcooling_K: 5 };
    const plateaus = plateausOf(build, 50);
    const normal = cohortNormal(machine, capacity_W(build), like, plateaus)!;
    expect(normal.likeUnits).toBe(10);
    for (const { departures } of judgePlateaus(machine, normal, plateaus)) {
      const { condenserApproach_K: approach, compressorPower_W: power } = departures;
      expect(Math.abs(approach!.value - approach!.expected)).toBeLessThan(0.4);
      expect(Math.abs(power!.value / power!.expected - 1)).toBeLessThan(0.06);
    }
  });

  it('claims next to nothing of healthy units of its kind', () => {
    const over = Array.from({ length: 8 }, (_, k) => overOf(another(), 100 + k));
    expect(over.filter((share) => share > 0.5)).toHaveLength(0);
  });

  it('is departed from by a unit that never ran well', () => {
    expect(overOf({ size: 0.8, approach_K: 5, subcooling_K: 5 }, 200)).toBeGreaterThan(0.9);
    expect(overOf({ size: 0.8, approach_K: 3, subcooling_K: 1 }, 201)).toBeGreaterThan(0.9);
  });

  it('is told of what a new unit sends, where that is less than its like do', () => {
    const build: Build = { size: 0.8, approach_K: 3, subcooling_K: 1 };
    const plateaus = plateausOf(build, 60).map(({ values, ...rest }) => {
      const { condenserEnteringTemperature_K, condenserLeavingTemperature_K, ...sent } = values;
      expect(condenserEnteringTemperature_K && condenserLeavingTemperature_K).toBeDefined();
      return { ...rest, values: sent };
    });
    const normal = cohortNormal(machine, capacity_W(build), like, plateaus)!;
    expect(normal.point.used).not.toContain('sink');
    expect(normal.order).not.toContain('condenserApproach_K');
    const judged = judgePlateaus(machine, normal, plateaus);
    expect(judged.filter(({ overLimit }) => overLimit).length).toBeGreaterThan(0.9 * judged.length);
    expect(judged[0].departures.subcooling_K!.z).toBeLessThan(-3);
  });

  it('is not told by too few, by units of another size or kind, or for a unit that hardly ran', () => {
    const build = another();
    const plateaus = plateausOf(build, 300);
    const of = (others: readonly LikeCircuit[], size = 1, count = 40) =>
      cohortNormal(machine, size * 418_000, others, plateaus.slice(0, count));
    expect(of(like)).not.toBeNull();
    expect(of(like.slice(0, leastLike - 1))).toBeNull();
    expect(of(like, 10)).toBeNull();
    expect(of(like.map((one) => ({ ...one, machine: r134a('dry-expansion', 'air') })))).toBeNull();
    expect(of(like, 1, 5)).toBeNull();
  });
});
