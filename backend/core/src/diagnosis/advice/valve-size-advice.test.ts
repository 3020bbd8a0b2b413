import { describe, expect, it } from 'vitest';
import { machineOf, type Machine } from '../../normal/quantities/machine.js';
import type { Plateau } from '../../normal/plateaus/find-plateaus.js';
import type { ChannelValues } from '../../normal/quantities/quantities.js';
import { saturated } from '../causes/sample-channels.js';
import type { SwingingLoop } from './loop/loop-advice.js';
import { marginalLoop, type LoopModel } from './loop/loop-model.js';
import { neededKv, valveSizeAdvice as adviceOnSize } from './valve-size-advice.js';

const machine: Machine = { ...machineOf({ refrigerant: 'R134a' }), valve: { kv_m3_h: 2, motors: 1 } };
const plateau = (values: Partial<ChannelValues>, i = 0): Plateau => ({
  from_s: 3600 * i,
  to_s: 3600 * i + 1800,
  samples: 180,
  values: Object.fromEntries(
    Object.entries(values).map(([channel, value]) => [channel, { value, uncertainty: 0 }]),
  ),
});
const pressures = { suctionPressure_Pa: saturated(276.15), dischargePressure_Pa: saturated(315.15) };

describe('the Kv that a plateau needs', () => {
  it('is 1 for the 123 kW that R134a brings through a Kv of 1', () => {
    // COMPUTED, CoolProp 8.0.0: evaporating at 3, condensing at 42 C, 5 K subcooling, 6 K superheat, 0.95 of the pressure
    // difference: 123 kW. At the whole difference a Kv of 0.95 to the half, 0.975, does.
    const needed = neededKv(
      machine,
      plateau({
        ...pressures,
        suctionTemperature_K: 282.15,
        liquidTemperature_K: 310.15,
        enteringWaterTemperature_K: 285,
        leavingWaterTemperature_K: 280,
        waterFlow_m3_s: 123e3 / (4.18e6 * 5),
      }),
    );
    expect(needed.kv_m3_h).toBeGreaterThan(0.955);
    expect(needed.kv_m3_h).toBeLessThan(0.995);
    expect(needed.uncertainty).toBeGreaterThan(0.05);
  });

  it('is what the fitted valve is open by, where that is more than the flow of liquid without flashing needs', () => {
    const at = (valveOpening_pct: number) =>
      neededKv(
        machine,
        plateau({
          ...pressures,
          valveOpening_pct,
          suctionTemperature_K: 282.15,
          liquidTemperature_K: 310.15,
          enteringWaterTemperature_K: 285,
          leavingWaterTemperature_K: 280,
          waterFlow_m3_s: 123e3 / (4.18e6 * 5),
        }),
      );
    // 0.975 by the flow, as above; 70 % of a Kv of 2 is 1.4, 40 % is 0.8.
    expect(at(70)).toMatchObject({ kv_m3_h: 1.4, uncertainty: 0.15 });
    expect(at(40).kv_m3_h).toBeLessThan(0.995);
    expect(at(40).kv_m3_h).toBeGreaterThan(0.955);
  });

  it('is the open part of the Kv that is fitted where no flow is known', () => {
    expect(neededKv(machine, plateau({ valveOpening_pct: 35 })).kv_m3_h).toBeCloseTo(0.7, 9);
    const tandem = { ...machine, valve: { kv_m3_h: 2, motors: 2 } };
    expect(neededKv(tandem, plateau({ valveOpening_pct: 35 })).kv_m3_h).toBeCloseTo(1.4, 9);
  });
});

const valveSizeAdvice = (of: Machine, plateaus: readonly Plateau[], loops: readonly SwingingLoop[] = []) =>
  adviceOnSize(of, plateaus, () => loops);

/** A loop whose gain is so many times that at which it just swings on. */
function loopAt(times: number): SwingingLoop {
  const best: LoopModel = { gain_K_pct: -1, lag_s: 80, thermometerLag_s: 0, deadTime_s: 10 };
  const control = { gain_pct_K: times * marginalLoop(best, 80)!.gain_pct_K, integralTime_s: 80 };
  return {
    loop: { control: { best: control, others: [] }, best, spread: [] },
    steady: control,
    gainOff: 0,
    timeOff: 0,
  };
}

describe('advice on the size of a valve', () => {
  const loads = [30, 40, 50, 60, 70, 80, 90];
  it('is the Kv at the highest and at the lowest load seen, with its range', () => {
    const { figures } = valveSizeAdvice(
      machine,
      loads.map((load, i) => plateau({ compressorLoad_pct: load, valveOpening_pct: load / 3 }, i)),
    )!;
    // A third of the load of a Kv of 2: 0.6 and 0.2.
    expect(figures.highestLoad!.value).toBeCloseTo(0.6, 9);
    expect(figures.lowestLoad!.value).toBeCloseTo(0.2, 9);
    expect(figures.highestLoad!.high / 0.6).toBeCloseTo(1.3, 6);
    expect(figures.lowestLoad!.low / 0.2).toBeCloseTo(0.7, 6);
  });

  it('is drawn on to loads at which the valve had no room left', () => {
    const { figures } = valveSizeAdvice(
      machine,
      [...loads, 100].map((load, i) =>
        plateau({ compressorLoad_pct: load, valveOpening_pct: Math.min(100, load * 1.08) }, i),
      ),
    )!;
    // 1.08 of the load of a Kv of 2: 2.16, more than is fitted.
    expect(figures.highestLoad!.value).toBeCloseTo(2.16, 6);
  });

  it('has the Kv up to which a loop that swings by itself would be steady with its settings', () => {
    const plateaus = loads.map((load, i) =>
      plateau({ compressorLoad_pct: load, valveOpening_pct: load / 3 }, i),
    );
    const upTo = (...times: number[]) =>
      valveSizeAdvice(machine, plateaus, times.map(loopAt))!.figures.steadyUpTo?.value;
    // Skogestad's rule at an integral time of eight dead times has T/(2KL), the loop swings on at pi T/(2KL): one over pi of a Kv of 2
    // where it just does, and half of that at twice the gain.
    expect(upTo(1)! / (2 / Math.PI)).toBeCloseTo(1, 1);
    expect(upTo(2)! / (1 / Math.PI)).toBeCloseTo(1, 1);
    // The calmest of all swings.
    expect(upTo(1, 2)).toBeCloseTo(upTo(2)!, 9);
    expect(upTo()).toBeUndefined();
    const { sentence } = valveSizeAdvice(machine, plateaus, [loopAt(1)])!;
    expect(sentence.text).toContain('with a larger valve the gain has to be lowered');
    expect(valveSizeAdvice(machine, plateaus)!.sentence.text).not.toContain('gain');
  });

  it('is none with too few plateaus, without a load, or without a Kv', () => {
    const few = loads
      .slice(0, 5)
      .map((load, i) => plateau({ compressorLoad_pct: load, valveOpening_pct: 30 }, i));
    expect(valveSizeAdvice(machine, few)).toBeNull();
    const blind = loads.map((_, i) => plateau({ valveOpening_pct: 30 + i }, i));
    expect(valveSizeAdvice(machine, blind)).toBeNull();
    const unknown = { ...machine, valve: { kv_m3_h: 0, motors: 1 } };
    const all = loads.map((load, i) => plateau({ compressorLoad_pct: load, valveOpening_pct: load / 3 }, i));
    expect(valveSizeAdvice(unknown, all)).toBeNull();
  });
});
