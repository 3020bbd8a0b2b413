import { describe, expect, it } from 'vitest';
import { saturationPressure } from '../refrigerants/index.js';
import { circuit } from '../steadiness/sample-circuit.js';
import { emptyCircuitSeries, type CircuitSeries } from '../telemetry/circuit-series.js';
import { assessSensors } from './assess-sensors.js';

const T = 293.15;
const n = 8640;
type Row = Partial<Record<Exclude<keyof CircuitSeries, 'time_s'>, number>>;
const ripple = (i: number, size: number, k = 1) => size * Math.sin(k * i * i);
const at = (temperature_K: number) => saturationPressure('R134a', temperature_K, 'dew');

/** A day, every 10 s, of R134a: stands for the first eight hours in a room of 20 C and then runs; every instrument right. */
function day(change: (i: number, runs: boolean) => Row = () => ({})): CircuitSeries {
  const series = emptyCircuitSeries(n);
  for (let i = 0; i < n; i++) {
    const runs = i >= n / 3;
    const row: Row = {
      compressorLoad_pct: runs ? 70 : 0,
      valveOpening_pct: runs ? 50 : 0,
      superheatSetpoint_K: 6,
      suctionPressure_Pa: (runs ? at(276) : at(T)) + ripple(i, 200),
      dischargePressure_Pa: (runs ? at(313) : at(T)) + ripple(i, 200, 2),
      suctionTemperature_K: (runs ? 282 : T) + ripple(i, 0.02, 3),
      dischargeTemperature_K: (runs ? 335 : T) + ripple(i, 0.02, 4),
      liquidTemperature_K: (runs ? 308 : T) + ripple(i, 0.02, 5),
      ambientTemperature_K: T + ripple(i, 0.02, 6),
      enteringWaterTemperature_K: (runs ? 285 : T) + ripple(i, 0.02, 7),
      leavingWaterTemperature_K: (runs ? 280 : T) + ripple(i, 0.02, 8),
      waterFlow_m3_s: runs ? 0.01 : 0,
    };
    Object.assign(row, change(i, runs));
    series.time_s[i] = 1_700_006_400 + 10 * i;
    for (const [name, value] of Object.entries(row)) series[name as keyof CircuitSeries][i] = value;
  }
  return series;
}
const assess = (change?: Parameters<typeof day>[0], of = circuit) =>
  assessSensors({ refrigerant: 'R134a', circuit: of, series: day(change) });
const said = (...of: Parameters<typeof assess>) =>
  assess(...of).findings.map(({ condition, subject }) => [
    condition,
    subject.kind === 'sensor' ? subject.sensor : '',
  ]);

describe('the sensors of a circuit', () => {
  it('that are all right give no finding, with a standstill and running to judge by', () => {
    const { findings, standstills, running } = assess();
    expect(findings).toEqual([]);
    expect(standstills).toHaveLength(1);
    expect(standstills[0]!.consensus!.odd).toEqual([]);
    // Sixteen hours, less the first quarter of one.
    expect(running!.hours).toBeCloseTo(15.75, 2);
  });

  it('of which one reads 2 K high find its bias', () => {
    const high = (i: number, runs: boolean) => ({
      suctionTemperature_K: (runs ? 284 : T + 2) + ripple(i, 0.02),
    });
    expect(said(high)).toEqual([['sensor-bias', 'suction-temperature']]);
  });

  it('of which one stands find it frozen and leave it out of the comparison', () => {
    const { findings, standstills } = assess(() => ({ liquidTemperature_K: 300 }));
    expect(findings.map(({ condition }) => condition)).toEqual(['value-frozen']);
    expect(standstills[0]!.seen.liquidTemperature_K).toBeNaN();
  });

  it('of which one stands or is cut off are told apart beside a few single wrong samples a day', () => {
    const wrong = new Map(
      [700, 1300, 3100, 3350, 5200, 7900].map((row, k) => [row, [-27, -19, 25, 36, -30, 13][k]!]),
    );
    const beside = (value: (i: number, runs: boolean) => number) => (i: number, runs: boolean) => ({
      liquidTemperature_K: value(i, runs) + (wrong.get(i) ?? 0),
    });
    const stands = beside(() => 303.15);
    expect(said(stands)).toEqual([['value-frozen', 'liquid-temperature']]);
    // Condensing follows the weather: 308 K and 3 K up and down every two hours, of which 310 K and more are not sent.
    const cutOff = beside((i, runs) =>
      Math.min(310, (runs ? 308 + 3 * Math.sin(i / 115) : T) + ripple(i, 0.02, 5)),
    );
    expect(said(cutOff)).toEqual([['value-clipped', 'liquid-temperature']]);
  });

  it('that are swapped are found so while running, where suction reads over discharge in nine tenths of it', () => {
    const swapped = (part: number) => (i: number, runs: boolean) =>
      runs && i % 100 < part
        ? { suctionPressure_Pa: at(313) + ripple(i, 200), dischargePressure_Pa: at(276) + ripple(i, 200, 2) }
        : {};
    expect(said(swapped(100))).toContainEqual(['transducers-swapped', 'suction-pressure']);
    expect(said(swapped(85)).map(([condition]) => condition)).not.toContain('transducers-swapped');
  });

  it('of which the suction sensor is off its pipe find it loose, more surely where a standstill was seen', () => {
    const room_K = (i: number) => 305 + 4 * Math.sin(i / 1000);
    const loose = (i: number, runs: boolean) =>
      runs
        ? {
            ambientTemperature_K: room_K(i),
            suctionTemperature_K: 282 + 0.5 * (room_K(i) - 282) + ripple(i, 0.02),
          }
        : {};
    const [finding, ...others] = assess(loose).findings;
    expect(others).toEqual([]);
    expect(finding).toMatchObject({ condition: 'sensor-loose', certainty: 'likely', urgency: 'this-week' });
    const always = (i: number) => ({
      compressorLoad_pct: 70,
      valveOpening_pct: 50,
      ...loose(i, true),
      suctionPressure_Pa: at(276) + ripple(i, 200),
      dischargePressure_Pa: at(313) + ripple(i, 200),
    });
    const unseen = assess(always).findings.find(({ condition }) => condition === 'sensor-loose');
    expect(unseen!.certainty).toBe('possible');
  });

  it('are not called swapped for sure where neither water nor registry tells that the unit cools', () => {
    const swapped = (i: number, runs: boolean) => ({
      enteringWaterTemperature_K: NaN,
      leavingWaterTemperature_K: NaN,
      ...(runs
        ? { suctionPressure_Pa: at(313) + ripple(i, 200), dischargePressure_Pa: at(276) + ripple(i, 200, 2) }
        : {}),
    });
    const urgency = (unit?: { reversible?: boolean }) =>
      assessSensors({ refrigerant: 'R134a', circuit, series: day(swapped), unit }).findings.find(
        ({ condition }) => condition === 'transducers-swapped',
      )!.urgency;
    expect([urgency(), urgency({ reversible: false })]).toEqual(['watch', 'today']);
  });

  it('jump from 0.12 bar and from 1.2 K on', () => {
    const jumping = (column: keyof CircuitSeries, base: number, size: number) =>
      said((i, runs) => (runs && i % 500 === 0 ? { [column]: base + size } : {})).map(
        ([condition]) => condition,
      );
    expect(jumping('suctionPressure_Pa', at(276), 0.14e5)).toEqual(['value-jumping']);
    expect(jumping('suctionPressure_Pa', at(276), 0.1e5)).toEqual([]);
    expect(jumping('suctionTemperature_K', 282, 1.4)).toEqual(['value-jumping']);
    expect(jumping('suctionTemperature_K', 282, 1)).toEqual([]);
  });

  it('that are gauges have their span over the atmosphere', () => {
    const gauge = {
      ...circuit,
      suctionPressure: { ...circuit.suctionPressure, reference: 'gauge' as const, maximum: 2.6e5 },
    };
    // Held at the end of its span, 2.6 bar over an atmosphere of 1.01325 bar, for ten minutes of running.
    const from = n / 3 + 600;
    const held = (i: number) => (i >= from && i < from + 60 ? { suctionPressure_Pa: 2.6e5 + 101_325 } : {});
    expect(said(held, gauge)).toEqual([['value-clipped', 'suction-pressure']]);
    expect(said(held).map(([condition]) => condition)).not.toContain('value-clipped');
    // A circuit at rest, at 5.7 bar, passes what its suction transducer is made for.
    const atRest = (_: number, runs: boolean) => (runs ? {} : { suctionPressure_Pa: 2.6e5 + 101_325 });
    expect(said(atRest, gauge).map(([condition]) => condition)).not.toContain('value-clipped');
  });

  it('carry the cautions of their refrigerant where they are pressure transducers', () => {
    const [finding] = assess((i, runs) =>
      runs ? {} : { suctionPressure_Pa: at(T) + 0.4e5 + ripple(i, 200) },
    ).findings;
    expect(finding!.hazards).toEqual(expect.arrayContaining(['pressure', 'live-parts', 'rotating-parts']));
    expect(finding!.hazards).not.toContain('flammable');
    expect(() => assessSensors({ refrigerant: 'R0', circuit, series: day() })).toThrow();
  });

  it('leave water alone where a long stop was seen, and judge by it where there were short ones only', () => {
    expect(assess().water).toBeNull();
    // Stops of ten minutes in each hour, with saturation at the water's temperature.
    const short = (i: number) =>
      i % 360 < 60
        ? {
            compressorLoad_pct: 0,
            valveOpening_pct: 0,
            suctionPressure_Pa: at(280) + ripple(i, 200),
            dischargePressure_Pa: at(300) + ripple(i, 200, 2),
          }
        : {
            compressorLoad_pct: 70,
            valveOpening_pct: 50,
            suctionPressure_Pa: at(276) + ripple(i, 200),
            dischargePressure_Pa: at(313) + ripple(i, 200, 2),
            suctionTemperature_K: 282 + ripple(i, 0.02, 3),
            liquidTemperature_K: 308 + ripple(i, 0.02, 5),
            enteringWaterTemperature_K: 285 + ripple(i, 0.02, 7),
          };
    const always = (i: number) => ({
      ...short(i),
      leavingWaterTemperature_K: 280 + ripple(i, 0.02, 8),
      waterFlow_m3_s: 0.01,
    });
    const found = assess(always);
    expect(found.standstills).toEqual([]);
    expect(found.findings).toEqual([]);
    expect(found.water!.afterStops!.stops).toBeGreaterThan(20);
    expect(Math.abs(found.water!.afterStops!.offset_K)).toBeLessThan(0.3);
    // Gauge that is taken for absolute is found by them.
    const gauge = (i: number) => ({
      ...always(i),
      suctionPressure_Pa: short(i).suctionPressure_Pa - 101_325,
    });
    expect(said(gauge)).toEqual([['gauge-taken-for-absolute', 'suction-pressure']]);
    // A pressure that stands says nothing of the water.
    expect(assess((i) => ({ ...always(i), suctionPressure_Pa: 3e5 })).water).toBeNull();
  });

  it('carry toxic and flammable as their refrigerant is', () => {
    const hazards = (refrigerant: string) =>
      assessSensors({
        refrigerant,
        circuit,
        series: day((i, runs) => (runs && i % 500 === 0 ? { suctionPressure_Pa: at(276) + 0.5e5 + i } : {})),
      }).findings.find(({ condition }) => condition === 'value-jumping')!.hazards;
    expect(hazards('R134a')).not.toContain('flammable');
    expect(hazards('R290')).toContain('flammable');
    expect(hazards('R290')).not.toContain('toxic');
    // ISO 817: ammonia is B2L, toxic and mildly flammable.
    expect(hazards('R717')).toEqual(expect.arrayContaining(['flammable', 'toxic']));
  });
});
