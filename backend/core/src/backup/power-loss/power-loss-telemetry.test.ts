import { describe, expect, it } from 'vitest';
import type { CircuitSeries } from '../../telemetry/index.js';
import { circuit, circuitSeries, module, start_s } from '../sample-modules.js';
import { reviewPowerLoss } from './power-loss.js';

/** The contact was first read gone an hour into the record, and stays so for half an hour. */
const lost_s = start_s + 3600;
const loss = { from_s: lost_s, to_s: lost_s + 1800 };
type Column = Exclude<keyof CircuitSeries, 'time_s'>;
type At = (sinceLost_s: number) => Partial<Record<Column, number>>;

const seriesOf = (at: At) => circuitSeries(start_s, lost_s + 5400, 10, (t) => at(t - lost_s));
const around = (at: At, number = 1) => ({ circuit: number, refrigerant: 'R134a', series: seriesOf(at) });
const review = (...ats: At[]) =>
  reviewPowerLoss({
    module: { ...module, circuits: ats.map((_, i) => i + 1) },
    circuits: ats.map((_, i) => ({ ...circuit, number: i + 1 })),
    loss,
    closing: null,
    around: ats.map((at, i) => around(at, i + 1)),
  });

describe('without a closing, the opening before a loss', () => {
  it('is the last one read until a minute before the contact was seen gone, and not over five minutes old then', () => {
    const before = (at: (t: number) => number) =>
      review((t) => ({ valveOpening_pct: at(t) })).openingBefore_pct;
    expect(before((t) => (t < -60 ? 40 : 30))).toBe(40);
    expect(before((t) => (t === -70 ? 41 : 30))).toBe(41);
    expect(before((t) => (t === -360 ? 42 : t < -60 ? NaN : 30))).toBe(42);
    expect(before((t) => (t === -370 ? 43 : t < -60 ? NaN : 30))).toBeNull();
  });

  it('is that of the circuit that is the furthest open, and so is the one after it', () => {
    const both = review(
      (t) => ({ valveOpening_pct: t < 0 ? 40 : 0 }),
      (t) => ({ valveOpening_pct: t < 0 ? 55 : 12 }),
    );
    expect([both.openingBefore_pct, both.openingAfter_pct, both.shut]).toEqual([55, 12, false]);
    expect(both.circuits.map((one) => [one.circuit, one.openingBefore_pct, one.openingAfter_pct])).toEqual([
      [1, 40, 0],
      [2, 55, 12],
    ]);
    expect(both.outcome).toBe('did-not-shut');
  });
});

describe('without a closing, the opening after a loss', () => {
  const after = (at: (t: number) => number) => review((t) => ({ valveOpening_pct: at(t) }));

  it('is the first one read from a minute after the loss on, and before the mains are back', () => {
    expect(after((t) => (t < 60 ? 40 : t === 60 ? 7 : 3)).openingAfter_pct).toBe(7);
    expect(after((t) => (t < 60 ? 40 : t < 1790 ? NaN : 3)).openingAfter_pct).toBe(3);
    expect(after((t) => (t < 60 ? 40 : t < 1800 ? NaN : 3)).openingAfter_pct).toBeNull();
    expect(after((t) => (t < 60 ? 40 : NaN)).outcome).toBe('unknown');
  });

  it('counts as shut up to half a percent', () => {
    const outcome = (pct: number) => after((t) => (t < 0 ? 40 : pct)).outcome;
    expect([outcome(0), outcome(0.5), outcome(0.6)]).toEqual(['shut', 'shut', 'did-not-shut']);
  });

  it('lets refrigerant through only where it is open', () => {
    const passed = (pct: number) =>
      review((t) => ({
        valveOpening_pct: t < 0 ? 40 : pct,
        suctionPressure_Pa: 3e5,
        dischargePressure_Pa: t < 0 ? 9e5 : 8e5,
      })).circuits[0]!.refrigerantPassedAtMost_kg!;
    expect(passed(0.5)).toBe(0);
    expect(passed(5)).toBeGreaterThan(0);
    expect(passed(10)).toBeGreaterThan(passed(5));
  });
});

describe('the pressures after a loss', () => {
  /** Difference of 4 bar, falling by 1 mbar a second from when the mains may have gone: a minute before it was seen. */
  const falling =
    (from = 4e5, rate_Pa_s = 100): At =>
    (t) => ({
      suctionPressure_Pa: 3e5,
      dischargePressure_Pa: 3e5 + Math.max(0, from - rate_Pa_s * Math.max(0, t + 60)),
    });

  it('meet where the difference is down to half, and to a twentieth', () => {
    // 4 bar at 1000 Pa/s: 2 bar after 200 s, 0.2 bar after 380 s.
    const [one] = review(falling(4e5, 1000)).circuits;
    expect(one).toMatchObject({
      suctionPressureBefore_Pa: 3e5,
      dischargePressureBefore_Pa: 7e5,
      pressureHalved_s: 200,
      pressureMet_s: 380,
    });
  });

  it('have not met before the restart, nor before the mains are back', () => {
    // 4 bar at 100 Pa/s: 2 bar after 2000 s, longer than the half hour.
    const [slow] = review(falling()).circuits;
    expect([slow!.pressureHalved_s, slow!.pressureMet_s]).toEqual([null, null]);
    // At 110 Pa/s half of it is gone after 1820 s, 40 s before they are back.
    const [slower] = review(falling(4e5, 110)).circuits;
    expect([slower!.pressureHalved_s, slower!.pressureMet_s]).toEqual([1820, null]);
  });

  it('are not compared where the high side did not lie over the low one', () => {
    const [one] = review(() => ({ suctionPressure_Pa: 3e5, dischargePressure_Pa: 3e5 })).circuits;
    expect([one!.pressureHalved_s, one!.pressureMet_s]).toEqual([null, null]);
  });
});
