import { describe, expect, it } from 'vitest';
import {
  findPowerLosses,
  reviewPowerLoss,
  type ModuleReadings,
  type PowerLossReview,
} from '@coldrounds/core';
import { defaultStart_s, simulateCircuit, type SimulatedCircuit } from '@coldrounds/simulator';
import { printedSeed } from '../../published/random-series.js';
import { module } from './backup-fleet.js';

/** Half an hour without mains in the middle of a running day, on circuits of the simulator; no closing is sent. */
const lasts_s = 1800;
const refrigerants = ['R134a', 'R410A', 'R32', 'R454B'];
const seed = printedSeed('losses of mains');

/** The module's own readings as its gateway sends them, once a minute. */
function contact(from_s: number, to_s: number): ModuleReadings {
  const start_s = Math.floor(from_s / 60) * 60 - 1800;
  const n = 120;
  const fill = (of: (time_s: number) => number) =>
    Float64Array.from({ length: n }, (_, i) => of(start_s + 60 * i));
  return {
    time_s: fill((t) => t),
    voltage_V: fill(() => 20),
    current_A: fill(() => 0),
    temperature_K: fill(() => 298.15),
    mains: fill((t) => (t >= from_s && t < to_s ? 0 : 1)),
    health: fill(() => 1),
  };
}

interface Case {
  made: SimulatedCircuit;
  lost_s: number;
  /** How the valve stood right before. */
  stood_pct: number;
  review: PowerLossReview;
}

/** `left_pct`: where the valve comes to rest, or how it stood where that is less. */
function run(i: number, left_pct: number): Case {
  const lost_s = defaultStart_s + (9 + (i % 6)) * 3600 + 10 * (i % 7);
  let stood_pct = NaN;
  const made = simulateCircuit({
    seed: seed + i,
    days: 1,
    refrigerant: refrigerants[i % refrigerants.length],
    condenser: i % 2 ? 'air' : 'water',
    powerLosses: [{ start_s: lost_s, end_s: lost_s + lasts_s }],
    closeOnStore: (_circuit, _time_s, opening_pct) => {
      stood_pct = opening_pct;
      return Math.min(opening_pct, left_pct);
    },
  });
  const [loss] = findPowerLosses(contact(lost_s, lost_s + lasts_s));
  const around = [{ circuit: 1, refrigerant: made.truth.refrigerant, series: made.series }];
  const review = reviewPowerLoss({ module, circuits: [made.entry], loss, closing: null, around });
  return { made, lost_s, stood_pct, review };
}

describe(`losses of mains on twelve circuits of the simulator (seed ${seed})`, () => {
  const shut = Array.from({ length: 12 }, (_, i) => run(i, 0));
  const open = Array.from({ length: 12 }, (_, i) => run(i, 30));

  it('with the valve shut are seen as such, nothing having passed', () => {
    for (const { review } of shut) {
      expect(review.shut).toBe(true);
      expect(review.circuits[0].refrigerantPassedAtMost_kg).toBe(0);
      expect(review.findings.map(({ condition }) => condition)).not.toContain('did-not-shut');
    }
  });

  it('are called floodback at restart only where true superheat was under the limit after it', () => {
    for (const { review, made } of [...shut, ...open]) {
      if (!review.findings.some(({ condition }) => condition === 'floodback-at-restart')) continue;
      const { under_s } = truthOf(review, made);
      expect(under_s).toBeGreaterThan(0);
    }
  });

  it('with the valve left open are seen as such, by how far', () => {
    for (const { review, stood_pct } of open) {
      expect(review.outcome).toBe('did-not-shut');
      expect(Math.abs(review.openingAfter_pct! - Math.min(30, stood_pct))).toBeLessThan(0.5);
      expect(review.findings.map(({ condition }) => condition)).toContain('did-not-shut');
      expect(review.circuits[0].refrigerantPassedAtMost_kg).toBeGreaterThan(0);
    }
  });

  it('tell how the valve stood before, though it moved before the contact was read', () => {
    for (const { review, stood_pct } of [...shut, ...open])
      expect(Math.abs(review.openingBefore_pct! - stood_pct)).toBeLessThan(5);
  });

  it('let the pressures meet sooner through an open valve than with it shut', () => {
    for (const [i, { review }] of open.entries()) {
      const through_s = review.circuits[0].pressureHalved_s!;
      expect(through_s).toBeLessThan(shut[i].review.circuits[0].pressureHalved_s ?? Infinity);
    }
  });

  it('give the restart when the compressor runs again', () => {
    for (const { review, made, lost_s } of [...shut, ...open]) {
      const { time_s, compressorLoad_pct } = made.series;
      const first = time_s.findIndex((t, i) => t >= lost_s + lasts_s && compressorLoad_pct[i] > 1);
      expect(Math.abs(review.circuits[0].restartAt_s! - time_s[first])).toBeLessThanOrEqual(60);
    }
  });

  it('show less superheat at the restart where refrigerant had drifted through, by what it truly was less, to 0.4 K on average', () => {
    const mean = (cases: Case[], of: (one: Case) => number) =>
      cases.reduce((sum, one) => sum + of(one) / cases.length, 0);
    const seen = ({ review }: Case) => review.circuits[0].restartLeastSuperheat_K!;
    const trueLeast = ({ review, made }: Case) => truthOf(review, made).least_K;
    const less = mean(shut, trueLeast) - mean(open, trueLeast);
    expect(less).toBeGreaterThan(0.5);
    expect(Math.abs(mean(shut, seen) - mean(open, seen) - less)).toBeLessThan(0.4);
  });

  it('never let less pass at most than what truly reached the compressor as liquid', () => {
    for (const { review, made } of open)
      expect(review.circuits[0].refrigerantPassedAtMost_kg!).toBeGreaterThan(
        truthOf(review, made).carried_kg,
      );
  });
});

/** What truly happened in the ten minutes after the restart. */
function truthOf(review: PowerLossReview, { series, truth, entry }: SimulatedCircuit) {
  const restart_s = review.circuits[0].restartAt_s!;
  let carried_kg = 0;
  let under_s = 0;
  let least_K = Infinity;
  series.time_s.forEach((t, i) => {
    if (t < restart_s || t > restart_s + 600) return;
    carried_kg += 10 * truth.liquidCarry_kg_s[i];
    if (truth.superheat_K[i] < least_K) least_K = truth.superheat_K[i];
    if (truth.superheat_K[i] < entry.floodbackLimit_K) under_s += 10;
  });
  return { carried_kg, under_s, least_K };
}
