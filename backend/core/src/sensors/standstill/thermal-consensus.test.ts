import { describe, expect, it } from 'vitest';
import { saturationPressure, saturationTemperature } from '../../refrigerants/index.js';
import { emptyCircuitSeries } from '../../telemetry/circuit-series.js';
import { settledStandstills, type SettledStandstill } from './standstill.js';
import { room_K, standingCircuit } from './sample-standstill.js';
import { thermalConsensus } from './thermal-consensus.js';

const T = room_K;
const pressureAt = (refrigerant: string, temperature_K: number, side: 'dew' | 'bubble' = 'dew') =>
  saturationPressure(refrigerant, temperature_K, side);

const odd = (changed: Partial<SettledStandstill>, refrigerant = 'R134a') =>
  thermalConsensus(refrigerant, standingCircuit(changed, refrigerant))!.odd;

describe('instruments of one temperature', () => {
  it('that all read it have none odd, and are sure of it to 0.1 K', () => {
    const { odd, all, agreed_K, uncertainty_K } = thermalConsensus('R134a', standingCircuit())!;
    expect(odd).toEqual([]);
    expect(all).toHaveLength(5);
    expect(agreed_K).toBeCloseTo(T, 3);
    expect(uncertainty_K).toBeCloseTo(0.1, 3);
  });

  it('are surer the calmer it is: 0.4 h behind at the drift seen', () => {
    const { uncertainty_K } = thermalConsensus('R134a', standingCircuit({ drift_K_h: 0.5 }))!;
    expect(uncertainty_K).toBeCloseTo(Math.hypot(0.2, 0.1), 3);
  });

  it.each(['suctionTemperature_K', 'dischargeTemperature_K', 'liquidTemperature_K'] as const)(
    'of which %s differs by 2 K find that one, by so much and with its sign',
    (column) => {
      for (const off of [2, -2]) {
        const [found, ...others] = odd({ [column]: T + off });
        expect(others).toEqual([]);
        expect(found!.sensor.replace('-', '')).toBe(column.replace('_K', '').toLowerCase());
        expect(found!.deviation_K).toBeCloseTo(off, 2);
        expect(found).toMatchObject({ deviation_Pa: null, agreeing: 6 });
        expect(found!.agreed_K).toBeCloseTo(T, 2);
      }
    },
  );

  it('find a temperature odd from 1 K on, and a pressure from 0.1 bar on', () => {
    expect(odd({ suctionTemperature_K: T + 0.95 })).toEqual([]);
    expect(odd({ suctionTemperature_K: T + 1.05 })).toHaveLength(1);
    // 0.1 bar is 0.5 K of R134a at 20 C.
    const pressure_Pa = pressureAt('R134a', T);
    expect(odd({ suctionPressure_Pa: pressure_Pa + 0.09e5 })).toEqual([]);
    const [found] = odd({ suctionPressure_Pa: pressure_Pa + 0.12e5 });
    expect(found!.sensor).toBe('suction-pressure');
    expect(found!.deviation_Pa! / 0.12e5).toBeCloseTo(1, 2);
    expect(found!.deviation_K).toBeCloseTo(
      saturationTemperature('R134a', pressure_Pa + 0.12e5, 'dew') - T,
      2,
    );
  });

  it('ask for 2.5 uncertainties too', () => {
    // Drifting by 1.25 K/h: 0.51 K unsure.
    const drift_K_h = 1.25;
    expect(odd({ suctionTemperature_K: T + 1.2, drift_K_h })).toEqual([]);
    expect(odd({ suctionTemperature_K: T + 1.35, drift_K_h })).toHaveLength(1);
  });

  it('tell an atmosphere too little from a pressure by the curve and not by its slope', () => {
    const [found] = odd({ dischargePressure_Pa: pressureAt('R134a', T) - 101_325 });
    expect(found!.sensor).toBe('discharge-pressure');
    expect(found!.deviation_Pa! / -101_325).toBeCloseTo(1, 3);
    expect(found!.deviation_K).toBeLessThan(-5);
  });

  it('say nothing while water at rest and the room are 2 K apart: an insulated shell is cold for days', () => {
    const cold = (by_K: number) =>
      thermalConsensus(
        'R134a',
        standingCircuit({
          leavingWaterTemperature_K: T - by_K,
          suctionPressure_Pa: pressureAt('R134a', T - by_K),
          suctionTemperature_K: T - 0.5 * by_K,
        }),
      );
    expect(cold(8)).toBeNull();
    expect(cold(2.05)).toBeNull();
    // Nearer, what lies between the two is in order.
    expect(cold(1.9)!.odd).toEqual([]);
  });

  it('have no low pressure that is odd where no thermometer is at the evaporator, which may be colder than all', () => {
    const low_Pa = pressureAt('R134a', T - 8);
    const water = { leavingWaterTemperature_K: NaN, enteringWaterTemperature_K: NaN };
    // Both sides read the pressure of the coldest place that they are connected with.
    expect(odd({ ...water, suctionPressure_Pa: low_Pa, dischargePressure_Pa: low_Pa })).toEqual([]);
    expect(odd({ ...water, suctionPressure_Pa: low_Pa })).toEqual([]);
    // Higher than all of them no place makes it.
    expect(odd({ ...water, suctionPressure_Pa: pressureAt('R134a', T + 3) })).toHaveLength(1);
    expect(odd({ ...water, dischargePressure_Pa: low_Pa })).toHaveLength(1);
    expect(odd({ suctionPressure_Pa: low_Pa })).toHaveLength(1);
  });

  it('have no high side that is odd where the water through the condenser holds it at its own temperature', () => {
    const warm = {
      dischargePressure_Pa: pressureAt('R134a', T + 6),
      condenserTemperature_K: T + 6.5,
    };
    expect(odd({ dischargePressure_Pa: warm.dischargePressure_Pa })).toHaveLength(1);
    expect(odd(warm)).toEqual([]);
    expect(odd({ ...warm, pumpRunning: true })).toEqual([]);
    expect(odd({ ...warm, suctionPressure_Pa: pressureAt('R134a', T + 6) })).toHaveLength(1);
  });

  it('put the largest deviation first', () => {
    const found = odd({ suctionTemperature_K: T + 2, dischargeTemperature_K: T - 4 });
    expect(found.map(({ sensor }) => sensor)).toEqual(['discharge-temperature', 'suction-temperature']);
  });

  it('say nothing where fewer than three are known, or there is no majority', () => {
    const unknown = {
      suctionTemperature_K: NaN,
      dischargeTemperature_K: NaN,
      liquidTemperature_K: NaN,
      leavingWaterTemperature_K: NaN,
    };
    expect(thermalConsensus('R134a', standingCircuit(unknown))).not.toBeNull();
    expect(thermalConsensus('R134a', standingCircuit({ ...unknown, ambientTemperature_K: NaN }))).toBeNull();
    const scattered = {
      suctionTemperature_K: T + 8,
      dischargeTemperature_K: T - 9,
      liquidTemperature_K: T + 17,
    };
    expect(
      thermalConsensus(
        'R134a',
        standingCircuit({ ...scattered, leavingWaterTemperature_K: T - 20, ambientTemperature_K: T + 30 }),
      ),
    ).toBeNull();
  });

  it('are of the evaporator alone where water flows through it', () => {
    const cold = T - 10;
    const flowing = {
      pumpRunning: true,
      suctionPressure_Pa: pressureAt('R134a', cold),
      enteringWaterTemperature_K: cold,
      leavingWaterTemperature_K: cold,
    };
    expect(odd(flowing)).toEqual([]);
    // Two thermometers in the water against one pressure are too few to say which is wrong.
    expect(odd({ ...flowing, suctionPressure_Pa: pressureAt('R134a', cold + 2) })).toEqual([]);
    // The sides are 10 K apart: no liquid in the warm one, so its pressure says nothing.
    expect(odd({ ...flowing, dischargePressure_Pa: pressureAt('R134a', T + 5) })).toEqual([]);
    // Within 1 K of the room it does.
    expect(odd({ pumpRunning: true, dischargePressure_Pa: pressureAt('R134a', T + 5) })).toHaveLength(1);
  });
});

describe('a blend, whose pressure lies anywhere between bubble and dew point', () => {
  const between = (pressureAt('R407C', T) + pressureAt('R407C', T, 'bubble')) / 2;

  it('is in order anywhere between', () => {
    const same = { suctionPressure_Pa: between, dischargePressure_Pa: between };
    expect(odd(same, 'R407C')).toEqual([]);
  });

  it('has one odd transducer where two sides of one temperature read unlike, the higher one, against the other', () => {
    const dew = pressureAt('R407C', T);
    const [found, ...others] = odd({ suctionPressure_Pa: dew + 0.5e5, dischargePressure_Pa: dew }, 'R407C');
    expect(others).toEqual([]);
    expect(found).toMatchObject({ sensor: 'suction-pressure', against: 'discharge-pressure' });
    expect(found!.deviation_Pa).toBeCloseTo(0.5e5, 0);
    const [other] = odd({ suctionPressure_Pa: dew, dischargePressure_Pa: dew + 0.5e5 }, 'R407C');
    expect(other).toMatchObject({ sensor: 'discharge-pressure', against: 'suction-pressure' });
  });

  it('has no odd one where its two sides differ by less than 0.1 bar, or by less than they are sent in', () => {
    const dew = pressureAt('R407C', T);
    const differ = (by_Pa: number, shown = {}) =>
      thermalConsensus(
        'R407C',
        standingCircuit({ suctionPressure_Pa: dew + by_Pa, dischargePressure_Pa: dew }, 'R407C'),
        shown,
      )!.odd.length;
    expect([differ(0.2e5), differ(0.095e5)]).toEqual([1, 0]);
    expect(differ(0.2e5, { 'suction-pressure': 0.06e5, 'discharge-pressure': 0.05e5 })).toBe(0);
    expect(differ(0.4e5, { 'suction-pressure': 0.06e5, 'discharge-pressure': 0.05e5 })).toBe(1);
    expect(differ(NaN)).toBe(0);
  });

  it('has an excess by itself where the other side is odd, too', () => {
    const bubble = pressureAt('R407C', T, 'bubble');
    const found = odd({ suctionPressure_Pa: bubble + 1e5, dischargePressure_Pa: bubble + 0.5e5 }, 'R407C');
    const suction = found.find(({ sensor }) => sensor === 'suction-pressure')!;
    expect(suction.deviation_Pa! / 1e5).toBeCloseTo(1, 2);
    expect(found).toHaveLength(2);
  });

  it('has a pressure under the dew point off by what it lies under it', () => {
    const dew = pressureAt('R407C', T);
    const [found] = odd({ suctionPressure_Pa: dew - 1e5, dischargePressure_Pa: dew }, 'R407C');
    expect(found!.deviation_Pa! / -1e5).toBeCloseTo(1, 2);
    expect(found!.deviation_K).toBeLessThan(0);
  });

  it('has an excess over the bubble point measured against the sound side', () => {
    const dew = pressureAt('R407C', T);
    const bubble = pressureAt('R407C', T, 'bubble');
    const [found] = odd({ suctionPressure_Pa: bubble + 1e5, dischargePressure_Pa: dew }, 'R407C');
    expect(found!.sensor).toBe('suction-pressure');
    expect(found!.deviation_Pa! / (bubble + 1e5 - dew)).toBeCloseTo(1, 6);
  });
});

describe('a settled standstill', () => {
  /** Every 60 s: runs for an hour, then stands for so many minutes while the suction pipe goes as given. */
  function seriesOf(stood_min: number, suction_K: (minute: number) => number) {
    const n = 60 + stood_min;
    const series = emptyCircuitSeries(n);
    for (let i = 0; i < n; i++) {
      series.time_s[i] = 60 * i;
      series.compressorLoad_pct[i] = i < 60 ? 80 : 0;
      series.suctionPressure_Pa[i] = pressureAt('R134a', i < 60 ? 275 : T);
      series.dischargePressure_Pa[i] = pressureAt('R134a', i < 60 ? 310 : T);
      series.suctionTemperature_K[i] = i < 60 ? 280 : suction_K(i - 60);
      series.dischargeTemperature_K[i] = T;
      series.ambientTemperature_K[i] = T;
      series.waterFlow_m3_s[i] = 0;
    }
    return settledStandstills('R134a', series);
  }

  it('is the calmest half hour, an hour after the stop at the soonest', () => {
    // Warms by 3 K/h for two hours and then stands.
    const [seen, ...others] = seriesOf(300, (minute) => T - Math.max(0, 120 - minute) / 20);
    expect(others).toEqual([]);
    expect(seen!.drift_K_h).toBeCloseTo(0, 6);
    expect(seen!.stoodFor_s).toBeGreaterThanOrEqual(7200 - 600);
    expect(seen!.suctionTemperature_K).toBeCloseTo(T, 6);
    expect(seen!.to_s - seen!.from_s).toBeLessThanOrEqual(1800);
    expect(seen!.pumpRunning).toBe(false);
  });

  it('needs 90 minutes of standing', () => {
    expect(seriesOf(88, () => T)).toEqual([]);
    expect(seriesOf(95, () => T)).toHaveLength(1);
    expect(seriesOf(95, () => T)[0]!.stoodFor_s).toBe(3600);
  });

  it('is none where it drifts by more than 0.8 K/h throughout', () => {
    expect(seriesOf(180, (minute) => T - 0.75 * (minute / 60))).toHaveLength(1);
    expect(seriesOf(180, (minute) => T - 0.75 * (minute / 60))[0]!.drift_K_h).toBeCloseTo(0.75, 1);
    expect(seriesOf(180, (minute) => T - 0.9 * (minute / 60))).toEqual([]);
  });
});

describe('readings sent in steps', () => {
  it('may be off by what the sending makes of them, and by what it makes of the median', () => {
    const off = (kelvin: number, shown: Parameters<typeof thermalConsensus>[2]) =>
      thermalConsensus('R134a', standingCircuit({ suctionTemperature_K: T + kelvin }), shown)!.odd.length;
    // 1 K is worth a word; 0.5 K of its own steps on top.
    expect([
      off(1.05, {}),
      off(1.45, { 'suction-temperature': 0.5 }),
      off(1.55, { 'suction-temperature': 0.5 }),
    ]).toEqual([1, 0, 1]);
    // Another's steps do not matter, unless they are those of most.
    expect(off(1.05, { 'liquid-temperature': 0.5 })).toBe(1);
    const most = {
      'suction-temperature': 0.5,
      'liquid-temperature': 0.5,
      'discharge-temperature': 0.5,
      water: 0.5,
      ambient: 0.5,
    };
    expect([off(1.9, most), off(2.1, most)]).toEqual([0, 1]);
  });

  it('of a pressure count along the saturation line', () => {
    const p = pressureAt('R134a', T);
    const off = (by_Pa: number, shown_Pa: number) =>
      thermalConsensus('R134a', standingCircuit({ suctionPressure_Pa: p + by_Pa }), {
        'suction-pressure': shown_Pa,
      })!.odd.length;
    expect([off(0.18e5, 0), off(0.18e5, 0.1e5), off(0.28e5, 0.1e5)]).toEqual([1, 0, 1]);
  });
});
