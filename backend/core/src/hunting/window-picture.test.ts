import { describe, expect, it } from 'vitest';
import { saturationPressure } from '../refrigerants/index.js';
import { emptyCircuitSeries, type CircuitSeries } from '../telemetry/circuit-series.js';
import { windowPicture } from './window-picture.js';

const period_s = 240;
const step_s = 10;
const mean_K = 8;
const amplitude_K = 2;

/** Superheat of 8 K with a sine of 2 K every 240 s, the opening a quarter of a cycle before it, load and pressure at rest. */
function swinging(samples: number, of: (i: number) => number = () => NaN): CircuitSeries {
  const s = emptyCircuitSeries(samples);
  const dew_K = 276.15;
  const pressure_Pa = saturationPressure('R134a', dew_K, 'dew');
  for (let i = 0; i < samples; i++) {
    const angle = (2 * Math.PI * step_s * i) / period_s;
    const given = of(i);
    s.time_s[i] = 1_700_006_400 + step_s * i;
    s.suctionPressure_Pa[i] = pressure_Pa;
    s.suctionTemperature_K[i] =
      dew_K + (Number.isFinite(given) ? given : mean_K + amplitude_K * Math.sin(angle));
    s.valveOpening_pct[i] = 45 + 6 * Math.cos(angle);
    s.compressorLoad_pct[i] = 70;
  }
  return s;
}
const picture = (series: CircuitSeries) => windowPicture({ series, refrigerant: 'R134a' });
const pure = picture(swinging(721));

describe('the cycles of a pure sine', () => {
  // From its middle to a trough at 7380 s, so that neither end looks like a crest.
  const { cycles } = picture(swinging(739));

  it('are as many as lie between its first and its last crest, a period each', () => {
    // Crests at 60 + 240 k: 31 of them, 30 cycles.
    expect(cycles).toHaveLength(30);
    cycles.forEach(({ from_s, to_s, crest_K, trough_K }, k) => {
      expect(Math.abs(from_s - (1_700_006_400 + 60 + 240 * k))).toBeLessThanOrEqual(20);
      expect(Math.abs(to_s - from_s - 240)).toBeLessThanOrEqual(20);
      expect(Math.abs(crest_K - mean_K - amplitude_K)).toBeLessThan(0.15);
      expect(Math.abs(trough_K - mean_K + amplitude_K)).toBeLessThan(0.05);
    });
    for (let k = 1; k < cycles.length; k++) expect(cycles[k]!.from_s).toBe(cycles[k - 1]!.to_s);
  });

  it('count no rise that an end or a hole cuts off', () => {
    // Crests at 60 + 240 k. Cut at 7200 s, on the way up: 30 of them, 29 cycles.
    expect(picture(swinging(721)).cycles).toHaveLength(29);
    // Cut at both ends a sixteenth of a cycle before the crest at 7260 s and after the one at 60 s: 29 crests, 28 cycles.
    const cut = swinging(725);
    for (let i = 0; i < 8; i++) cut.suctionTemperature_K[i] = NaN;
    expect(picture(cut).cycles).toHaveLength(28);
    // A hole from 3600 to 3770 s begins and ends on the way up or down between its crests at 3660 and 3900 s.
    const holed = swinging(739);
    for (let i = 360; i < 377; i++) holed.suctionTemperature_K[i] = NaN;
    const crests = picture(holed).cycles.flatMap(({ from_s, to_s }) => [from_s, to_s]);
    for (const crest_s of crests)
      expect(
        Math.min(...[3600, 3770].map((edge) => Math.abs(crest_s - 1_700_006_400 - edge))),
      ).toBeGreaterThan(30);
  });

  it('are told across no hole', () => {
    const series = swinging(739);
    // From trough to trough without a temperature: five crests, at 3180 to 4140 s, are missing.
    for (let i = 307; i < 426; i++) series.suctionTemperature_K[i] = NaN;
    const holed = picture(series);
    expect(holed.verdict.oscillating).toBe(true);
    // Thirteen crests before the hole and thirteen after it.
    expect(holed.cycles).toHaveLength(24);
    for (const { from_s, to_s } of holed.cycles) expect(to_s - from_s).toBeLessThan(1.6 * period_s);
  });

  it('are none where nothing oscillates', () => {
    const still = picture(swinging(721, () => mean_K));
    expect(still.verdict.period_s).toBeNull();
    expect(still.cycles).toEqual([]);
  });
});

describe('the autocorrelation of a pure sine', () => {
  const { lag_s, value } = pure.autocorrelation!;

  it('goes in steps of the interval from zero to half of the window', () => {
    expect(lag_s).toHaveLength(361);
    expect(value).toHaveLength(361);
    expect([lag_s[0], lag_s[1], lag_s[360]]).toEqual([0, 10, 3600]);
  });

  it('is the cosine of its period, beginning with one', () => {
    expect(value[0]).toBeCloseTo(1, 9);
    for (let k = 0; k <= 360; k += 6)
      expect(Math.abs(value[k]! - Math.cos((2 * Math.PI * lag_s[k]!) / period_s))).toBeLessThan(0.05);
  });
});

describe('the spectrum of a pure sine', () => {
  const { period_s: periods, power, found_s } = pure.spectrum!;

  it('goes from 40 s to half an hour, as far apart everywhere, with the period found among them', () => {
    expect(periods).toHaveLength(241);
    expect(periods[0]).toBeCloseTo(40, 9);
    expect(periods[240]).toBeCloseTo(1800, 6);
    const apart = (1800 / 40) ** (1 / 239);
    expect(periods[1]! / periods[0]!).toBeCloseTo(apart, 9);
    expect(periods).toEqual([...periods].sort((a, b) => a - b));
    expect(periods).toContain(found_s);
    expect(Math.abs(found_s! / period_s - 1)).toBeLessThan(0.005);
  });

  it('has nearly all of the variance there, and hardly any elsewhere', () => {
    const at = (wanted: number) =>
      power[
        periods.reduce(
          (best, p, k) => (Math.abs(p - wanted) < Math.abs(periods[best]! - wanted) ? k : best),
          0,
        )
      ]!;
    expect(power[periods.indexOf(found_s!)]!).toBeGreaterThan(0.97);
    expect(power[periods.indexOf(found_s!)]!).toBeLessThan(1.01);
    for (const wanted of [40, 100, 180, 320, 600, 1800]) expect(at(wanted)).toBeLessThan(0.05);
  });

  it('begins with three intervals where these are long, and ends at half of a short window', () => {
    // 30 s apart: 90 s; of half an hour: 900 s.
    const slow = swinging(61);
    for (let i = 0; i < 61; i++) slow.time_s[i] = 1_700_006_400 + 30 * i;
    const seen = picture(slow).spectrum!;
    expect(seen.period_s[0]).toBeCloseTo(90, 0);
    expect(seen.period_s.at(-1)).toBeCloseTo(900, 0);
  });

  it('has no variance where nothing moves', () => {
    const { spectrum } = picture(swinging(721, () => mean_K));
    expect(spectrum!.found_s).toBeNull();
    expect(spectrum!.period_s).toHaveLength(240);
    expect(Math.max(...spectrum!.power)).toBeLessThanOrEqual(1);
  });
});

describe('the loop of opening and superheat', () => {
  it('holds every steady sample of both, and one mean for each twenty-fourth of the cycle', () => {
    expect(pure.loop.valveOpening_pct).toHaveLength(721);
    expect(pure.loop.superheat_K).toHaveLength(721);
    expect(pure.loop.meanCycle).toHaveLength(24);
    // An ellipse about the means: both phases a quarter of a cycle apart.
    for (const { valveOpening_pct, superheat_K } of pure.loop.meanCycle) {
      const radius = Math.hypot((valveOpening_pct - 45) / 6, (superheat_K - mean_K) / amplitude_K);
      expect(Math.abs(radius - 1)).toBeLessThan(0.1);
    }
    const [first] = pure.loop.meanCycle;
    expect(first!.valveOpening_pct).toBeGreaterThan(50);
  });

  it('leaves out samples without an opening, and has no mean cycle without a period', () => {
    const series = swinging(721, () => mean_K);
    for (let i = 0; i < 100; i++) series.valveOpening_pct[i] = NaN;
    const { loop, trace } = picture(series);
    expect(loop.meanCycle).toEqual([]);
    expect(loop.superheat_K.length).toBe(loop.valveOpening_pct.length);
    expect(loop.superheat_K.length).toBeLessThanOrEqual(621);
    expect(trace.valveOpening_pct[0]).toBeNull();
    expect(trace.valveOpening_pct).toHaveLength(721);
  });
});

describe('how much a picture needs', () => {
  it('is forty samples of steady superheat', () => {
    expect(picture(swinging(40)).autocorrelation).not.toBeNull();
    expect(picture(swinging(40)).spectrum).not.toBeNull();
    expect(picture(swinging(39)).autocorrelation).toBeNull();
    expect(picture(swinging(39)).spectrum).toBeNull();
  });
});
