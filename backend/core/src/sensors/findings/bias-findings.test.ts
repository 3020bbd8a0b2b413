import { describe, expect, it } from 'vitest';
import { saturationPressure, saturationTemperature } from '../../refrigerants/index.js';
import type { RunningMedians } from '../running/running-evidence.js';
import type { SettledStandstill } from '../standstill/standstill.js';
import { room_K, standingCircuit } from '../standstill/sample-standstill.js';
import { thermalConsensus } from '../standstill/thermal-consensus.js';
import { biasDrafts } from './bias-findings.js';

const T = room_K;
const atmosphere_Pa = 101_325;
const at = (refrigerant: string, temperature_K: number) =>
  saturationPressure(refrigerant, temperature_K, 'dew');

function standstill(changed: Partial<SettledStandstill>, from_s = 0) {
  const seen = standingCircuit({ from_s, to_s: from_s + 1800, ...changed });
  return { seen, consensus: thermalConsensus('R134a', seen) };
}
const drafts = (standstills: ReturnType<typeof standstill>[], running: RunningMedians | null = null) =>
  biasDrafts({ refrigerant: 'R134a', standstills, running, floodbackLimit_K: 2, atmosphere_Pa });
const said = (...of: Parameters<typeof drafts>) =>
  drafts(...of).map(({ condition, sensor }) => [condition, sensor]);

describe('a bias', () => {
  it('is said of the odd sensor, which way and by how much', () => {
    const [high] = drafts([standstill({ suctionTemperature_K: T + 2 })]);
    expect(high).toMatchObject({
      condition: 'sensor-bias',
      sensor: 'suction-temperature',
      firstSeen_s: 0,
      lastSeen_s: 1800,
    });
    expect(high!.headline.text).toMatch(/too high/);
    expect(high!.headline.quantities['bias']!.value).toBeCloseTo(2, 2);
    const [low] = drafts([standstill({ suctionTemperature_K: T - 2 })]);
    expect(low!.headline.text).toMatch(/too low/);
    const [pressure] = drafts([standstill({ dischargePressure_Pa: at('R134a', T) + 0.3e5 })]);
    expect(pressure).toMatchObject({ condition: 'sensor-bias', sensor: 'discharge-pressure' });
    expect(pressure!.headline.quantities['bias']).toMatchObject({ kind: 'pressure-difference' });
    expect(drafts([standstill({})])).toEqual([]);
    expect(drafts([])).toEqual([]);
  });

  it('is certain over five uncertainties, and pressing from 3 K where it floods the evaporator, from 5 K where it starves it', () => {
    // Drifting by 0.5 K/h: 0.22 K unsure, five times that 1.12 K.
    const [of1] = drafts([standstill({ suctionTemperature_K: T + 1.05, drift_K_h: 0.5 })]);
    const [of2] = drafts([standstill({ suctionTemperature_K: T + 1.3, drift_K_h: 0.5 })]);
    expect([of1!.certainty, of2!.certainty]).toEqual(['likely', 'certain']);
    const urgency = (changed: Partial<SettledStandstill>) => drafts([standstill(changed)])[0]!.urgency;
    expect(urgency({ suctionTemperature_K: T + 2.9 })).toBe('next-visit');
    expect(urgency({ suctionTemperature_K: T + 3.1 })).toBe('this-week');
    expect(urgency({ suctionTemperature_K: T - 3.1 })).toBe('next-visit');
    expect(urgency({ suctionTemperature_K: T - 5.1 })).toBe('this-week');
    expect(urgency({ liquidTemperature_K: T + 6 })).toBe('next-visit');
  });

  it('is only watched where unlike places may make it, and at a discharge sensor that a heater may warm', () => {
    const [low, high] = [1.1, 0.8].map((bar) =>
      drafts([standstill({ suctionPressure_Pa: at('R134a', T) - 0.2e5 * bar })]),
    );
    // 0.2 bar of R134a at 20 C are 1.15 K.
    expect([low![0]!.urgency, high![0]!.urgency]).toEqual(['next-visit', 'watch']);
    const heated = drafts([standstill({ dischargeTemperature_K: T + 6 })])[0]!;
    expect(heated.urgency).toBe('watch');
    // Nothing is corrected by what may be a heater.
    expect(heated.error).toBeUndefined();
    expect(heated.reasons.map(({ text }) => text).join()).toMatch(/crankcase heater/);
    expect(drafts([standstill({ dischargeTemperature_K: T - 6 })])[0]!.urgency).toBe('next-visit');
  });

  it('that two gauges share is the air pressure’s where it is no larger than heights make it', () => {
    const both = (off_Pa: number, gauges = true, other_Pa = off_Pa) =>
      biasDrafts({
        refrigerant: 'R134a',
        standstills: [
          standstill({
            suctionPressure_Pa: at('R134a', T) + off_Pa,
            dischargePressure_Pa: at('R134a', T) + other_Pa,
          }),
        ],
        // Superheat of 6 K by its own curve: as read, 21 kPa too high, it is 1.7 K less.
        running: {
          suctionPressure_Pa: at('R134a', 276) + off_Pa,
          suctionTemperature_K: 282,
          superheatSetpoint_K: 6,
        } as RunningMedians,
        floodbackLimit_K: 2,
        atmosphere_Pa,
        gauges,
      });
    const causes = (of: ReturnType<typeof both>) =>
      of.map(({ explanations }) => explanations?.[0]?.cause ?? '');
    // 80.0 kPa at about 1,950 m (ISO 2533: 79.5 kPa at 2,000 m).
    const mountain = both(21.3e3);
    expect(mountain.map(({ condition, certainty }) => [condition, certainty])).toEqual([
      ['sensor-bias', 'likely'],
      ['sensor-bias', 'likely'],
    ]);
    for (const cause of causes(mountain)) expect(cause).toMatch(/altitude/);
    expect(mountain[0]!.error!.bias).toBeCloseTo(21.3e3, -2);
    for (const cause of [
      ...causes(both(21.3e3, false)),
      ...causes(both(21.3e3, true, 12e3)),
      ...causes(both(40e3)),
    ])
      expect(cause).not.toMatch(/altitude/);
  });

  it('seen in steps carries half a step in its uncertainty, in however many stops it was seen', () => {
    const coarse = (k: number) => {
      const { seen } = standstill({ suctionTemperature_K: T + 3 }, 86_400 * k);
      return { seen, consensus: thermalConsensus('R134a', seen, { 'suction-temperature': 0.5 }) };
    };
    for (const count of [1, 5]) {
      const [draft] = drafts(Array.from({ length: count }, (_, k) => coarse(k)));
      // 0.1 K of place, and 0.5 K over root 3 (JCGM 100:2008, 4.3.7).
      expect(draft!.error!.uncertainty).toBeCloseTo(Math.hypot(0.1, 0.5 / Math.sqrt(3)), 2);
    }
    // Five uncertainties of 0.1 K beyond what its steps can make.
    const certainty = (kelvin: number) => {
      const { seen } = standstill({ suctionTemperature_K: T + kelvin });
      return drafts([{ seen, consensus: thermalConsensus('R134a', seen, { 'suction-temperature': 1 }) }])[0]!
        .certainty;
    };
    expect(certainty(2.1)).toBe('certain');
  });

  it('costs more to wait with the larger it is, and twice as much on the suction side', () => {
    const score = (changed: Partial<SettledStandstill>) => drafts([standstill(changed)])[0]!.score;
    expect(score({ suctionTemperature_K: T + 4 })).toBeGreaterThan(score({ suctionTemperature_K: T + 2 }));
    expect(score({ suctionTemperature_K: T + 2 }) / score({ liquidTemperature_K: T + 2 })).toBeCloseTo(2, 1);
    expect(score({ suctionTemperature_K: T + 40 })).toBeLessThanOrEqual(100);
  });

  it('is seen in at least half of the standstills and in the last, with one sign; its size is their median', () => {
    const off = (kelvin: number, k: number) => standstill({ suctionTemperature_K: T + kelvin }, 86_400 * k);
    expect(said([off(2, 0), off(0, 1), off(0, 2)])).toEqual([]);
    expect(said([off(0, 0), off(0, 1), off(2, 2)])).toEqual([]);
    expect(said([off(0, 0), off(2, 1)])).toEqual([['sensor-bias', 'suction-temperature']]);
    expect(said([off(2, 0), off(0, 1)])).toEqual([]);
    expect(said([off(-2, 0), off(2, 1)])).toEqual([]);
    const [of3] = drafts([off(2, 0), off(4, 1), off(2.5, 2)]);
    expect(of3!.headline.quantities['bias']!.value).toBeCloseTo(2.5, 2);
    expect(of3!.lastSeen_s).toBe(2 * 86_400 + 1800);
    expect(of3!.reasons.at(-1)!.quantities['count']!.value).toBe(3);
  });
});

describe('a gauge taken for absolute', () => {
  it('reads an atmosphere too little, within 0.1 bar', () => {
    const low = (by_Pa: number) => said([standstill({ suctionPressure_Pa: at('R134a', T) - by_Pa })]);
    expect(low(atmosphere_Pa)).toEqual([['gauge-taken-for-absolute', 'suction-pressure']]);
    expect(low(atmosphere_Pa - 0.09e5)[0]![0]).toBe('gauge-taken-for-absolute');
    expect(low(atmosphere_Pa - 0.12e5)[0]![0]).toBe('sensor-bias');
    expect(low(atmosphere_Pa + 0.12e5)[0]![0]).toBe('sensor-bias');
  });

  it('is not said where running with it has no possible superheat, or one further from its setpoint', () => {
    const low = standstill({ suctionPressure_Pa: at('R134a', T) - atmosphere_Pa });
    const running = (suctionPressure_Pa: number, setpoint_K: number): RunningMedians => ({
      hours: 5,
      suctionPressure_Pa,
      dischargePressure_Pa: at('R134a', 313),
      suctionTemperature_K: 281,
      dischargeTemperature_K: 333,
      liquidTemperature_K: 308,
      superheatSetpoint_K: setpoint_K,
      leavingWaterTemperature_K: 280,
      ambientTemperature_K: 300,
      valveOpening_pct: 50,
    });
    // An evaporator at 275 K read an atmosphere low; one that is read right, which stood colder than its surroundings.
    const gauge = at('R134a', 275) - atmosphere_Pa;
    expect(said([low], running(gauge, 6))[0]![0]).toBe('gauge-taken-for-absolute');
    expect(said([low], running(gauge, NaN))[0]![0]).toBe('gauge-taken-for-absolute');
    expect(said([low], running(at('R134a', 275), 6))[0]![0]).toBe('sensor-bias');
    expect(said([low], running(at('R134a', 275), NaN))[0]![0]).toBe('sensor-bias');
  });

  it('is the other way round where it reads an atmosphere too much', () => {
    const text = (by_Pa: number) =>
      drafts([standstill({ suctionPressure_Pa: at('R134a', T) + by_Pa })])[0]!.headline.text;
    expect(text(-atmosphere_Pa)).toMatch(/sends gauge pressure/);
    expect(text(atmosphere_Pa)).toMatch(/sends absolute pressure/);
  });
});

describe('a wrong refrigerant', () => {
  /** A unit registered with R134a that holds another refrigerant, as its right instruments show it. */
  const holding = (refrigerant: string) =>
    standstill({ suctionPressure_Pa: at(refrigerant, T), dischargePressure_Pa: at(refrigerant, T) });
  const runningWith = (refrigerant: string, changed: Partial<RunningMedians> = {}): RunningMedians => ({
    hours: 5,
    suctionPressure_Pa: at(refrigerant, 275),
    dischargePressure_Pa: at(refrigerant, 313),
    suctionTemperature_K: 281,
    dischargeTemperature_K: 333,
    liquidTemperature_K: 308,
    superheatSetpoint_K: 6,
    leavingWaterTemperature_K: 280,
    ambientTemperature_K: 300,
    valveOpening_pct: 50,
    ...changed,
  });

  it('explains both pressures at standstill and the superheat while running', () => {
    const [wrong, ...others] = drafts([holding('R1234ze(E)')], runningWith('R1234ze(E)'));
    expect(others).toEqual([]);
    expect(wrong!.condition).toBe('wrong-refrigerant');
    expect(wrong!.headline.text).toMatch(/R1234ze\(E\)/);
    expect(wrong!.headline.text).toMatch(/registered R134a/);
  });

  it('is not said where running was not seen, or agrees with the registered one', () => {
    const conditions = (running: RunningMedians | null) =>
      drafts([holding('R1234ze(E)')], running).map(({ condition }) => condition);
    expect(conditions(null)).not.toContain('wrong-refrigerant');
    expect(conditions(runningWith('R134a'))).not.toContain('wrong-refrigerant');
  });

  it('brings superheat nearer to its setpoint by 0.4 K at least, or without one makes running possible', () => {
    const said = (changed: Partial<RunningMedians>) =>
      drafts([holding('R1234ze(E)')], runningWith('R1234ze(E)', changed)).map(
        ({ condition }) => condition,
      )[0];
    // As R134a superheat reads 281 K less the dew temperature of that pressure; half way from 6 K both are as near.
    const shown_K = 281 - saturationTemperature('R134a', at('R1234ze(E)', 275), 'dew');
    const middle_K = (6 + shown_K) / 2;
    expect(said({ superheatSetpoint_K: middle_K - 0.25 })).toBe('wrong-refrigerant');
    expect(said({ superheatSetpoint_K: middle_K - 0.15 })).not.toBe('wrong-refrigerant');
    // Without a setpoint running decides: with the liquid warmer than it could condense as registered it is not possible;
    // with the liquid not known it is, and it is not with 9 K more, over 25 K of superheat.
    expect(said({ superheatSetpoint_K: NaN })).toBe('wrong-refrigerant');
    const unknown = { superheatSetpoint_K: NaN, liquidTemperature_K: NaN };
    expect(said(unknown)).not.toBe('wrong-refrigerant');
    expect(said({ ...unknown, suctionTemperature_K: 275 + 20 })).toBe('wrong-refrigerant');
  });

  it('says how far both pressures and superheat are off, and how little with the other', () => {
    const [wrong] = drafts([holding('R1234ze(E)')], runningWith('R1234ze(E)'));
    const [standing, superheat] = wrong!.reasons.map(({ quantities }) => quantities);
    const off_K = saturationTemperature('R134a', at('R1234ze(E)', T), 'dew') - T;
    expect(standing!.suction!.value).toBeCloseTo(off_K, 1);
    expect(standing!.discharge!.value).toBeCloseTo(off_K, 1);
    expect(standing!.rest!.value).toBeLessThan(0.2);
    expect(superheat!.best!.value).toBeCloseTo(6, 1);
    expect(superheat!.shown!.value).toBeCloseTo(
      281 - saturationTemperature('R134a', at('R1234ze(E)', 275), 'dew'),
      3,
    );
    expect(superheat!.setpoint!.value).toBe(6);
  });

  it('takes both pressures off the same way', () => {
    const p = at('R134a', T);
    const apart = standstill({ suctionPressure_Pa: p - 0.5e5, dischargePressure_Pa: p + 0.5e5 });
    expect(said([apart], runningWith('R1234ze(E)')).map(([condition]) => condition)).toEqual([
      'sensor-bias',
      'sensor-bias',
    ]);
  });

  it('is not said of the right refrigerant', () => {
    expect(drafts([standstill({})], runningWith('R134a'))).toEqual([]);
  });
});

describe('a bias in its own unit', () => {
  const running: RunningMedians = {
    hours: 5,
    suctionPressure_Pa: at('R134a', 275),
    dischargePressure_Pa: at('R134a', 313),
    suctionTemperature_K: 281,
    dischargeTemperature_K: 333,
    liquidTemperature_K: 308,
    superheatSetpoint_K: 6,
    leavingWaterTemperature_K: 280,
    ambientTemperature_K: 300,
    valveOpening_pct: 50,
  };

  it('is in kelvins for a thermometer, in pascals for a transducer, its uncertainty along the saturation line', () => {
    const [thermometer] = drafts([standstill({ suctionTemperature_K: T + 2 })]);
    expect(thermometer!.error!.bias).toBeCloseTo(2, 2);
    expect(thermometer!.error!.uncertainty).toBeCloseTo(0.1, 2);
    const off_Pa = 0.3e5;
    for (const side of ['suction', 'discharge'] as const) {
      const [transducer] = drafts([standstill({ [`${side}Pressure_Pa`]: at('R134a', T) + off_Pa })]);
      expect(transducer!.error!.bias / off_Pa).toBeCloseTo(1, 2);
      // 0.1 K in pascals at what is shown.
      const shown_K = saturationTemperature('R134a', at('R134a', T) + off_Pa, 'dew');
      const pascals = at('R134a', shown_K + 0.05) - at('R134a', shown_K - 0.05);
      expect(transducer!.error!.uncertainty / pascals).toBeCloseTo(1, 1);
      expect(transducer!.reasons[1]!.quantities.bias!.value / off_Pa).toBeCloseTo(1, 2);
    }
  });

  it('has superheat as read and without the error, for a thermometer and for a transducer', () => {
    const superheats = (changed: Partial<SettledStandstill>) => {
      const { read, right } = drafts([standstill(changed)], running)[0]!.reasons.find(
        ({ quantities }) => 'right' in quantities,
      )!.quantities;
      return [read!.value, right!.value];
    };
    const [read, right] = superheats({ suctionTemperature_K: T + 2 });
    expect(read).toBeCloseTo(6, 2);
    expect(right).toBeCloseTo(4, 2);
    // A transducer that reads 0.3 bar too much: true evaporating is that much lower, superheat higher.
    const without_K = 281 - saturationTemperature('R134a', at('R134a', 275) - 0.3e5, 'dew');
    expect(superheats({ suctionPressure_Pa: at('R134a', T) + 0.3e5 })[1]).toBeCloseTo(without_K, 1);
    // A sensor of the high side says nothing of superheat.
    const [high] = drafts([standstill({ liquidTemperature_K: T + 2 })], running);
    expect(high!.reasons.some(({ quantities }) => 'right' in quantities)).toBe(false);
  });

  // Judgement, no source.
  it('is for today, with a score of 85, where true superheat is under the floodback limit of 2 K', () => {
    const of = (kelvin: number) => drafts([standstill({ suctionTemperature_K: T + kelvin })], running)[0]!;
    expect(of(4.2)).toMatchObject({ urgency: 'today', score: 85 });
    expect(of(3.8)).toMatchObject({ urgency: 'this-week' });
    // Twelve for each kelvin on the suction side, six elsewhere, 70 at the most.
    expect(of(2).score).toBe(24);
    const [liquid] = drafts([standstill({ liquidTemperature_K: T + 2 })]);
    expect(liquid!.score).toBe(12);
    expect(drafts([standstill({ suctionTemperature_K: T - 30 })])[0]!.score).toBe(70);
  });

  it('says in how many stops, after how long, and how calm it was', () => {
    const last = (...of: Parameters<typeof standstill>[]) => {
      const { text, quantities } = drafts(of.map((one) => standstill(...one)))[0]!.reasons.at(-1)!;
      return [text.split(' long')[0], quantities.time!.value, quantities.drift!.value];
    };
    const high = { suctionTemperature_K: T + 3 };
    expect(last([{ ...high, stoodFor_s: 4000, drift_K_h: 0.2 }])).toEqual(['Seen in one', 4000, 0.2]);
    expect(
      last(
        [{ ...high, stoodFor_s: 4000, drift_K_h: 0.1 }],
        [{ ...high, stoodFor_s: 9000, drift_K_h: 0.3 }, 86_400],
        [{ ...high, stoodFor_s: 5000, drift_K_h: 0.2 }, 2 * 86_400],
      ),
    ).toEqual(['Seen in {count}', 9000, 0.2]);
  });

  it('of an atmosphere has that as its error, with the weather’s 1.5 kPa', () => {
    for (const sign of [-1, 1]) {
      const [draft] = drafts([standstill({ suctionPressure_Pa: at('R134a', T) + sign * atmosphere_Pa })]);
      expect(draft!.error).toEqual({ bias: sign * atmosphere_Pa, uncertainty: 1500 });
      expect(draft).toMatchObject({ firstSeen_s: 0, lastSeen_s: 1800, certainty: 'likely' });
    }
  });
});

describe('two transducers of a blend that read unlike at one temperature', () => {
  const dew_Pa = at('R407C', T);
  const unlike = (changed: Partial<SettledStandstill>) => {
    const { seen } = standstill({ suctionPressure_Pa: dew_Pa, dischargePressure_Pa: dew_Pa, ...changed });
    const standstills = [{ seen, consensus: thermalConsensus('R407C', seen) }];
    const drafts = biasDrafts({
      refrigerant: 'R407C',
      standstills,
      running: null,
      floodbackLimit_K: 2,
      atmosphere_Pa,
    });
    expect(drafts).toHaveLength(1);
    return drafts[0]!;
  };

  it('have the higher one doubted first and the other next, by how much, and no error that could be corrected', () => {
    const high = unlike({ suctionPressure_Pa: dew_Pa + 0.5e5 });
    expect(high).toMatchObject({ condition: 'sensor-bias', sensor: 'suction-pressure', certainty: 'likely' });
    expect(high.headline.text).toMatch(/suction pressure transducer reads .* above the discharge pressure/);
    expect(high.headline.quantities.difference!.value).toBeCloseTo(0.5e5, 0);
    expect(high.reasons[0]!.quantities.difference!.value).toBeCloseTo(0.5e5, 0);
    expect(high.reasons[1]!.quantities.agreed!.value).toBeCloseTo(T, 2);
    expect(high.error).toBeUndefined();
    // Judgement, no source.
    expect(high.explanations!.map(({ cause, weight }) => [cause, weight])).toEqual([
      ['the suction pressure transducer reads too high', 0.65],
      ['the discharge pressure transducer reads too low', 0.35],
    ]);
    expect(unlike({ dischargePressure_Pa: dew_Pa + 0.5e5 }).explanations![1]!.cause).toBe(
      'the suction pressure transducer reads too low',
    );
  });
});

describe('both pressures an atmosphere low where another refrigerant explains them as well', () => {
  // R134a at 8 C: 3.88 bar, less one atmosphere 2.87 bar, which is R1234ze(E) at 8 C (common tables, from memory).
  const cold = 281.15;
  const temperatures = {
    suctionTemperature_K: cold,
    dischargeTemperature_K: cold,
    liquidTemperature_K: cold,
    enteringWaterTemperature_K: cold,
    leavingWaterTemperature_K: cold,
    ambientTemperature_K: cold,
  };
  const shown_Pa = at('R134a', cold) - atmosphere_Pa;
  const both = standstill({ ...temperatures, suctionPressure_Pa: shown_Pa, dischargePressure_Pa: shown_Pa });
  const running: RunningMedians = {
    hours: 5,
    suctionPressure_Pa: at('R1234ze(E)', 275),
    dischargePressure_Pa: at('R1234ze(E)', 313),
    suctionTemperature_K: 281,
    dischargeTemperature_K: 333,
    liquidTemperature_K: 308,
    superheatSetpoint_K: 6,
    leavingWaterTemperature_K: 280,
    ambientTemperature_K: 300,
    valveOpening_pct: 50,
  };

  it('are both possible, as likely as each other', () => {
    expect(shown_Pa / at('R1234ze(E)', cold)).toBeCloseTo(1, 1);
    const found = drafts([both], running);
    expect(found.map(({ condition, sensor }) => [condition, sensor])).toEqual([
      ['gauge-taken-for-absolute', 'suction-pressure'],
      ['gauge-taken-for-absolute', 'discharge-pressure'],
    ]);
    for (const { certainty, explanations } of found) {
      expect(certainty).toBe('possible');
      expect(explanations!.map(({ weight }) => weight)).toEqual([0.5, 0.5]);
      expect(explanations![0]!.supports).toHaveLength(1);
      expect(explanations![1]!.supports.length).toBeGreaterThan(1);
    }
  });

  it('are the gauges alone without running that fits the other refrigerant', () => {
    for (const { certainty, explanations } of drafts([both])) {
      expect(certainty).toBe('likely');
      expect(explanations).toBeUndefined();
    }
  });
});
