import { describe, expect, it } from 'vitest';
import { emptyCircuitSeries } from '../../telemetry/circuit-series.js';
import { cycleShape } from './cycle-shape.js';
import { crossCorrelationShape, originAtPeriod } from './oscillation-origin.js';
import { swingPartners } from './swing-partners.js';

const column = (n: number, of: (i: number) => number) => Float64Array.from({ length: n }, (_, i) => of(i));

describe('the swings of the opening', () => {
  it('are measured from one reversal to the next, the first left out', () => {
    // Up and down by 10 % in steps of 2 %: each swing 10 %.
    const saw = column(400, (i) => 40 + 2 * Math.abs((i % 10) - 5));
    const shape = cycleShape(saw)!;
    expect(shape.openingSwing_pct).toBeCloseTo(10, 9);
    expect(shape.openingSwingScatter).toBeCloseTo(0, 9);
    expect(shape.swings).toBeGreaterThanOrEqual(75);
    expect(shape.swings).toBeLessThanOrEqual(80);
  });

  it('that are by turns 5 and 15 % to one side have that scatter', () => {
    // Reversals at 40, 50, 40, 60, 40, 50 ...: swings 10, 10, 20, 20.
    const saw = column(400, (i) => 40 + (i % 2 ? (i % 4 === 1 ? 10 : 20) : 0));
    const shape = cycleShape(saw)!;
    expect(shape.openingSwing_pct).toBeCloseTo(15, 0);
    expect(shape.openingSwingScatter).toBeCloseTo(1 / 3, 1);
  });

  it('do not count turns under 1 % of stroke, and are nothing under eight', () => {
    expect(cycleShape(column(400, (i) => 40 + 0.45 * (i % 2)))).toBeNull();
    expect(cycleShape(column(400, (i) => 40 + 1.2 * (i % 2)))).not.toBeNull();
    const turns = (n: number) => cycleShape(column(n, (i) => (i % 2 ? 50 : 40)));
    expect(turns(10)).toBeNull();
    expect(turns(14)).not.toBeNull();
  });

  it('go on over samples that are missing', () => {
    const saw = column(400, (i) => (i % 7 === 3 ? NaN : 40 + 2 * Math.abs((i % 10) - 5)));
    expect(cycleShape(saw)!.openingSwing_pct).toBeGreaterThan(9);
  });
});

describe('signals that swing along', () => {
  const n = 720;
  const period_s = 200;
  const omega = (2 * Math.PI) / period_s;
  const series = emptyCircuitSeries(n);
  for (let i = 0; i < n; i++) {
    const t = 10 * i;
    series.time_s[i] = t;
    // A quarter of a cycle before superheat, twice as far, about 45 %; and load opposite to it, under as much noise again.
    series.valveOpening_pct[i] = 45 + 4 * Math.sin(omega * t + Math.PI / 2);
    series.compressorLoad_pct[i] =
      70 - 3 * Math.sin(omega * t) + 3 * Math.SQRT1_2 * Math.SQRT2 * Math.sin(i * i);
    series.enteringWaterTemperature_K[i] = 285;
  }
  const superheat_K = column(n, (i) => 8 + 2 * Math.sin(omega * 10 * i));
  const partners = swingPartners(series, superheat_K, 0, n, period_s);
  const of = (signal: string) => partners.find((partner) => partner.signal === signal);

  it('have their own amplitude and their lead over superheat in cycles', () => {
    const opening = of('valve-opening')!;
    expect(opening.amplitude).toBeCloseTo(4, 2);
    expect(opening.lead_cycles).toBeCloseTo(0.25, 3);
    expect(opening.varianceFraction).toBeCloseTo(1, 3);
    expect(opening.coherence).toBeCloseTo(1, 6);
  });

  it('have the fraction of their variance that the cycle explains', () => {
    const load = of('compressor-load')!;
    expect(Math.abs(load.amplitude - 3)).toBeLessThan(0.4);
    expect(Math.abs(Math.abs(load.lead_cycles) - 0.5)).toBeLessThan(0.03);
    expect(Math.abs(load.varianceFraction - 0.5)).toBeLessThan(0.06);
    expect(load.coherence!).toBeGreaterThan(0.8);
  });

  it('are not those that hold still or were not sent', () => {
    expect(of('enteringwater')).toBeUndefined();
    expect(of('entering-water')).toBeUndefined();
    expect(of('discharge-pressure')).toBeUndefined();
  });

  it('have no coherence under four blocks of three cycles, and none are told without superheat', () => {
    const short = swingPartners(series, superheat_K, 0, 180, period_s);
    expect(short.find(({ signal }) => signal === 'valve-opening')!.coherence).toBeNull();
    const enough = swingPartners(series, superheat_K, 0, 241, period_s);
    expect(enough.find(({ signal }) => signal === 'valve-opening')!.coherence).not.toBeNull();
    expect(swingPartners(series, new Float64Array(n).fill(NaN), 0, n, period_s)).toEqual([]);
  });

  it('are incoherent where their phase wanders', () => {
    const wandering = emptyCircuitSeries(n);
    wandering.time_s.set(series.time_s);
    // In each block of three cycles another phase, evenly around the circle.
    for (let i = 0; i < n; i++)
      wandering.valveOpening_pct[i] =
        45 + 4 * Math.sin(omega * 10 * i + (2 * Math.PI * Math.floor((10 * i) / (3 * period_s))) / 12);
    const [opening] = swingPartners(wandering, superheat_K, 0, n, period_s);
    expect(opening!.coherence!).toBeLessThan(0.05);
    expect(opening!.varianceFraction).toBeLessThan(0.1);
  });
});

describe('the shape of a cross-correlation', () => {
  /** The parabola 1 - ((k - centre) / 5)^2 at lags from -8 to 8. */
  const parabola = (centre: number, sign = 1) => column(17, (i) => sign * (1 - ((i - 8 - centre) / 5) ** 2));

  it('has its top between the lags, by the parabola through three of them, and its crossings on straight lines', () => {
    for (const sign of [1, -1]) {
      const { deltaTau, deltaRho } = crossCorrelationShape(parabola(0.3, sign), 10)!;
      // At lag zero 1 - 0.09 / 25; between lags 5 and 6, and -4 and -5, it passes zero.
      expect(deltaRho).toBeCloseTo(0.0036 / 1.9964, 9);
      const right = 5 + 0.1164 / (0.1164 + 0.2996);
      const left = 4 + 0.2604 / (0.2604 + 0.1236);
      expect(deltaTau).toBeCloseTo((right - left) / (right + left), 9);
    }
    expect(crossCorrelationShape(parabola(0), 10)).toEqual({ deltaTau: 0, deltaRho: 0 });
  });

  it('is none where it does not pass zero on both sides, or has a hole before it does', () => {
    expect(
      crossCorrelationShape(
        column(17, () => 1),
        10,
      ),
    ).toBeNull();
    const hole = parabola(0);
    hole[11] = NaN;
    expect(crossCorrelationShape(hole, 10)).toBeNull();
  });
});

describe('the origin at a known period', () => {
  const n = 720;
  const period_s = 240;
  const time_s = column(n, (i) => 10 * i);
  const angle = (i: number) => (2 * Math.PI * 10 * i) / period_s;
  const value = column(n, (i) => 8 + Math.sin(angle(i)));
  const origin = (opening: (i: number) => number) =>
    originAtPeriod({ time_s, value, valveOpening_pct: column(n, opening) }, period_s);

  it('is friction where opening and value are a quarter of a cycle apart', () => {
    expect(origin((i) => 40 + 3 * Math.cos(angle(i))).origin).toBe('valve-friction');
    expect(origin((i) => 40 - 3 * Math.cos(angle(i))).origin).toBe('valve-friction');
  });

  it('is anything else where they swing together or against each other', () => {
    expect(origin((i) => 40 + 3 * Math.sin(angle(i))).origin).toBe('not-valve-friction');
    expect(origin((i) => 40 - 3 * Math.sin(angle(i))).origin).toBe('not-valve-friction');
  });

  it('is undecided an eighth of a cycle apart, and where the opening takes no part', () => {
    expect(origin((i) => 40 + 3 * Math.sin(angle(i) + Math.PI / 4)).origin).toBe('undecided');
    expect(origin(() => 40).origin).toBe('undecided');
    // A twentieth of what moves in the opening.
    const noisy = origin((i) => 40 + Math.cos(angle(i)) + Math.sqrt(20) * Math.sin(i * i));
    expect(noisy.origin).toBe('undecided');
    expect(noisy.indices['openingVarianceFraction']!).toBeLessThan(0.1);
  });

  it('is undecided under 20 samples of the opening', () => {
    expect(origin((i) => (i % 38 ? NaN : 40 + 3 * Math.cos(angle(i)))).origin).toBe('undecided');
  });
});
