import { describe, expect, it } from 'vitest';
import { saturationPressure } from '../../refrigerants/index.js';
import { emptyCircuitSeries } from '../../telemetry/circuit-series.js';
import { runningMedians } from '../running/running-evidence.js';
import { waterDrafts, type WaterInput } from './water-findings.js';

const atmosphere_Pa = 101_325;

interface Unit {
  /** What is in the circuit, and what is registered. */
  holds: string;
  registered?: string;
  /** What the readings have more than the absolute pressure. */
  added_Pa?: number;
  reference?: 'absolute' | 'gauge';
  stops?: number;
  stop_s?: number;
  superheat_K?: number;
  setpoint_K?: number;
  entering_K?: number;
  leaving_K?: number;
  /** Loads while running, in turn; at each the approach in proportion to it, 4 K at full load. */
  loads?: readonly number[];
  change?: Partial<WaterInput>;
}

/**
 * Runs of twenty minutes with the evaporator 4 K under the water that leaves at 7 C; after each stop saturation comes up
 * to the water with a time constant of 100 s.
 */
function found({
  holds,
  registered = holds,
  added_Pa = 0,
  reference = 'absolute',
  stops = 3,
  stop_s = 480,
  superheat_K = 6,
  setpoint_K = 6,
  entering_K = 285,
  leaving_K = 280,
  loads = [],
  change = {},
}: Unit) {
  const runs_s = 2400;
  const period_s = runs_s + stop_s;
  const n = stops === 0 ? 720 : (stops * period_s + runs_s) / 10;
  const series = emptyCircuitSeries(n);
  const flags = new Uint8Array(n);
  const running: number[] = [];
  for (let i = 0; i < n; i++) {
    const within_s = stops === 0 ? (10 * i) % runs_s : (10 * i) % period_s;
    const runs = within_s < runs_s;
    flags[i] = runs ? 1 : 0;
    if (runs && within_s >= 900) running.push(i);
    series.time_s[i] = 50_000 + 10 * i;
    series.enteringWaterTemperature_K[i] = runs ? entering_K : leaving_K;
    series.leavingWaterTemperature_K[i] = leaving_K;
    const load = loads.length > 0 ? loads[i % loads.length]! : 100;
    if (loads.length > 0) series.compressorLoad_pct[i] = load;
    const saturation_K = runs
      ? leaving_K - (4 * load) / 100
      : leaving_K - 4 * Math.exp(-(within_s - runs_s) / 100);
    series.suctionPressure_Pa[i] = saturationPressure(holds, saturation_K, 'dew') + added_Pa;
    series.suctionTemperature_K[i] = runs ? leaving_K - 4 + superheat_K : 285;
    series.superheatSetpoint_K[i] = setpoint_K;
    series.valveOpening_pct[i] = runs ? 50 : 0;
  }
  return waterDrafts({
    refrigerant: registered,
    transducer: { minimum: 0, maximum: 1.6e6, tolerance: 8000, reference },
    series,
    flags,
    running,
    medians: runningMedians(series, running),
    atmosphere_Pa,
    ...change,
  });
}
const gauge = { holds: 'R1234ze(E)', added_Pa: -atmosphere_Pa } as const;
const conditions = (unit: Unit) => found(unit).drafts.map(({ condition }) => condition);

describe('saturation against the water after short stops', () => {
  it('is no finding where refrigerant and transducer are as registered', () => {
    for (const holds of ['R1234ze(E)', 'R134a', 'R32']) {
      const { drafts, evidence } = found({ holds });
      expect(drafts).toEqual([]);
      expect(Math.abs(evidence.afterStops!.offset_K)).toBeLessThan(evidence.afterStops!.uncertainty_K);
      expect(evidence.afterStops!.stops).toBe(3);
      expect(evidence.atLowLoad).toBeNull();
      expect(evidence.together).toEqual(evidence.afterStops);
    }
  });

  it('tells gauge that is taken for absolute, with an error of one atmosphere', () => {
    const [draft, ...others] = found(gauge).drafts;
    expect(others).toEqual([]);
    expect(draft).toMatchObject({
      condition: 'gauge-taken-for-absolute',
      sensor: 'suction-pressure',
      certainty: 'likely',
      error: { bias: -atmosphere_Pa },
      explanations: [],
    });
    expect(draft!.headline.text).toMatch(/sends gauge pressure, but is registered as absolute/);
    // From the first stop to the end of the last.
    expect(draft!.firstSeen_s).toBe(50_000 + 2400);
    expect(draft!.lastSeen_s).toBe(50_000 + 3 * 2880 - 10);
  });

  it('tells absolute that is taken for gauge', () => {
    const [draft] = found({
      holds: 'R1234ze(E)',
      added_Pa: atmosphere_Pa,
      reference: 'gauge',
      superheat_K: 10,
      setpoint_K: 10,
    }).drafts;
    expect(draft!.headline.text).toMatch(/sends absolute pressure, but is registered as gauge/);
  });

  it('says the offset, how many stops, the lag, and superheat as it would be', () => {
    const [draft] = found(gauge).drafts;
    const [offset, superheat] = draft!.reasons;
    expect(offset!.text).toMatch(/^In \{count\} stops, saturation settled \{shown\} below the water/);
    expect(offset!.quantities.count!.value).toBe(3);
    expect(offset!.quantities.lag!.value).toBeGreaterThan(70);
    expect(offset!.quantities.lag!.value).toBeLessThan(140);
    expect(offset!.quantities.shown!.value).toBeGreaterThan(10);
    expect(offset!.quantities.rest!.value).toBeLessThan(0.5);
    expect(superheat!.quantities.best!.value).toBeCloseTo(6, 2);
    expect(superheat!.quantities.setpoint!.value).toBe(6);
    expect(superheat!.quantities.shown!.value).toBeGreaterThan(15);
  });

  it('tells another refrigerant, with all that are about as likely', () => {
    // Dew pressures at 280 K (COMPUTED, CoolProp 8.0.0): R32 10.07 bar, R410A 9.87 bar, R134a 3.73 bar.
    const [draft] = found({ holds: 'R32', registered: 'R134a' }).drafts;
    expect(draft).toMatchObject({ condition: 'wrong-refrigerant', certainty: 'likely', explanations: [] });
    expect(draft!.headline.text).toMatch(
      /^The circuit behaves like .*R32.*, not like the registered R134a\.$/,
    );
    expect(draft!.headline.text).not.toMatch(/R290|R22\b|R717/);
    expect(draft!.error).toBeUndefined();
    expect(draft!.reasons[0]!.text).toMatch(/above the water temperature/);
  });

  it('leaves it open where gauge and another refrigerant fit alike', () => {
    // R134a at 283 K less an atmosphere is 3.1 bar, as R1234ze(E) has near there; superheat, 6 or 7 K, lies on either
    // side of the setpoint.
    const [draft] = found({
      holds: 'R134a',
      added_Pa: -atmosphere_Pa,
      leaving_K: 283,
      entering_K: 288,
      setpoint_K: 6.5,
    }).drafts;
    expect(draft).toMatchObject({ condition: 'gauge-taken-for-absolute', certainty: 'possible' });
    expect(draft!.error).toBeUndefined();
    expect(draft!.explanations!.map(({ weight }) => weight)).toEqual([0.5, 0.5]);
    expect(draft!.explanations![0]!.cause).toMatch(/gauge pressure/);
    expect(draft!.explanations![1]!.cause).toMatch(/R1234ze\(E\)/);
    expect(draft!.explanations!.every(({ supports }) => supports.length === 1)).toBe(true);
  });

  it('takes two stops, or one of ten minutes', () => {
    const said = (stops: number, stop_s: number) => conditions({ ...gauge, stops, stop_s }).length;
    expect(said(1, 480)).toBe(0);
    expect(said(2, 480)).toBe(1);
    expect(said(1, 600)).toBe(0); // seen for 590 s
    expect(said(1, 610)).toBe(1);
  });

  it('takes running that was seen, and water that is cooled by more than 0.2 K', () => {
    expect(found({ ...gauge, change: { medians: null } }).drafts).toEqual([]);
    expect(conditions({ ...gauge, entering_K: 280.19 })).toEqual([]);
    expect(conditions({ ...gauge, entering_K: 280.21 })).toHaveLength(1);
    expect(conditions({ ...gauge, entering_K: 278 })).toEqual([]);
  });

  it('takes an offset of 2.5 K at least', () => {
    // Of R1234ze(E) at 280 K 10 kPa are 1.1 K (COMPUTED, CoolProp 8.0.0: dT/dp 11.2 K/bar).
    expect(conditions({ ...gauge, added_Pa: -10_000 })).toEqual([]);
  });

  it('is no wrong reference where that would not bring superheat nearer to its setpoint', () => {
    const shown = (setpoint_K: number) => conditions({ ...gauge, setpoint_K });
    expect(shown(6)).toHaveLength(1);
    // Superheat as registered is what the controller holds.
    expect(shown(18)).toEqual([]);
  });

  it('is told without a setpoint where running is not possible as registered', () => {
    // Dry as registered by more than 15 K.
    expect(conditions({ ...gauge, setpoint_K: NaN })).toHaveLength(1);
    // Running is possible as registered: nothing is said.
    expect(conditions({ holds: 'R32', registered: 'R454B', setpoint_K: NaN, superheat_K: 8 })).toEqual([]);
    const [draft] = found({ ...gauge, setpoint_K: NaN }).drafts;
    expect(draft!.reasons.some(({ text }) => text.startsWith('While running'))).toBe(false);
  });

  it('says nothing where no other reading is possible while running', () => {
    // Superheat with the right reference from -1 to 15 K is.
    expect(conditions({ ...gauge, superheat_K: 15.5, setpoint_K: 15.5 })).toEqual([]);
    expect(conditions({ ...gauge, superheat_K: -1.5, setpoint_K: -1.5 })).toEqual([]);
    expect(conditions({ ...gauge, superheat_K: 14.5, setpoint_K: 14.5 })).toHaveLength(1);
    expect(conditions({ ...gauge, superheat_K: -0.5, setpoint_K: -0.5 })).toHaveLength(1);
  });
});

describe('saturation against the water at low load', () => {
  const low = { ...gauge, stops: 0, loads: [25, 45, 65, 85] } as const;

  it('tells gauge that is taken for absolute without any stop', () => {
    const { drafts, evidence } = found(low);
    expect(evidence.afterStops).toBeNull();
    expect(evidence.together).toEqual(evidence.atLowLoad);
    expect(evidence.together!.offset_K).toBeLessThan(-5);
    expect(drafts).toHaveLength(1);
    expect(drafts[0]!.reasons[0]!.text).toMatch(
      /^Extrapolated to no load, saturation lies \{shown\} below the water/,
    );
    // Seen over the running.
    expect(drafts[0]!.firstSeen_s).toBe(50_000 + 900);
    expect(drafts[0]!.lastSeen_s).toBe(50_000 + 7190);
  });

  it('joins what stops say, each by its inverse variance', () => {
    const { evidence } = found({ ...gauge, loads: [25, 45, 65, 85] });
    const [a, b] = [evidence.afterStops!, evidence.atLowLoad!];
    const [va, vb] = [a.uncertainty_K ** 2, b.uncertainty_K ** 2];
    expect(evidence.together!.offset_K).toBeCloseTo((a.offset_K * vb + b.offset_K * va) / (va + vb), 9);
    expect(evidence.together!.uncertainty_K).toBeCloseTo(Math.sqrt((va * vb) / (va + vb)), 9);
    expect(evidence.together!.lag_s).toBe(a.lag_s);
  });

  it('is enough by itself beside a single short stop', () => {
    expect(conditions({ ...gauge, loads: [25, 45, 65, 85], stops: 1 })).toHaveLength(1);
  });
});
