import { describe, expect, it } from 'vitest';
import { saturationPressure } from '../refrigerants/index.js';
import { emptyCircuitSeries, type CircuitSeries } from '../telemetry/circuit-series.js';
import { operatingModesOf, type OperatingMode } from './operating-modes.js';

interface Phase {
  minutes: number;
  evaporating_C: number;
  condensing_C: number;
  suction_C: number;
  entering_C: number;
  leaving_C: number;
  load?: number;
  opening?: number;
}

const cooling: Phase = {
  minutes: 60,
  evaporating_C: 3,
  condensing_C: 40,
  suction_C: 9,
  entering_C: 12,
  leaving_C: 7,
};
const standing: Phase = {
  ...cooling,
  minutes: 30,
  evaporating_C: 11,
  condensing_C: 25,
  suction_C: 15,
  leaving_C: 11.8,
  load: 0,
  opening: 0,
};
/** A plate exchanger that condenses: 45 C at its gas port, which is where the suction sensors sit. */
const heating: Phase = {
  ...cooling,
  minutes: 120,
  evaporating_C: 46,
  condensing_C: 2,
  suction_C: 70,
  entering_C: 38,
  leaving_C: 44,
};
const hotGas: Phase = {
  ...cooling,
  minutes: 8,
  evaporating_C: 22,
  condensing_C: 31,
  suction_C: 22.5,
  leaving_C: 13.2,
  opening: 0,
};

/** Each phase at its own constant values, every 10 s. R134a. */
function seriesOf(phases: Phase[]): CircuitSeries {
  const n = phases.reduce((sum, { minutes }) => sum + minutes * 6, 0);
  const series = emptyCircuitSeries(n);
  let row = 0;
  for (const phase of phases) {
    for (let k = 0; k < phase.minutes * 6; k++, row++) {
      series.time_s[row] = 10 * row;
      series.suctionPressure_Pa[row] = saturationPressure('R134a', phase.evaporating_C + 273.15, 'dew');
      series.dischargePressure_Pa[row] = saturationPressure('R134a', phase.condensing_C + 273.15, 'dew');
      series.suctionTemperature_K[row] = phase.suction_C + 273.15;
      series.enteringWaterTemperature_K[row] = phase.entering_C + 273.15;
      series.leavingWaterTemperature_K[row] = phase.leaving_C + 273.15;
      series.compressorLoad_pct[row] = phase.load ?? 70;
      series.valveOpening_pct[row] = phase.opening ?? 45;
    }
  }
  return series;
}

const minutesIn = (modes: OperatingMode[], mode: OperatingMode) =>
  modes.filter((one) => one === mode).length / 6;
const modesOf = (phases: Phase[], reversible?: boolean) =>
  operatingModesOf(seriesOf(phases), { refrigerant: 'R134a', unit: { reversible } });

describe('the mode of a circuit', () => {
  it('is cooling while it cools its water, and standing while its compressor stands', () => {
    const modes = modesOf([standing, cooling, standing]);
    expect(minutesIn(modes, 'cooling')).toBe(60);
    expect(minutesIn(modes, 'standing')).toBe(60);
  });

  it.each([true, undefined])(
    'is reversed for hours of warming the water (registered reversible: %s)',
    (reversible) => {
      const modes = modesOf([cooling, standing, heating, standing, cooling], reversible);
      expect(minutesIn(modes, 'reversed')).toBe(120);
      expect(minutesIn(modes, 'cooling')).toBe(120);
    },
  );

  it('is reversed too where only the thermometer sits at the port, or only the pressure', () => {
    const low = { ...heating, evaporating_C: 2, condensing_C: 46 };
    expect(minutesIn(modesOf([cooling, low]), 'reversed')).toBe(120);
    const gasAtCompressor = { ...heating, suction_C: 8 };
    expect(minutesIn(modesOf([cooling, gasAtCompressor]), 'reversed')).toBe(120);
  });

  it('is reversed where water is warmed and condensed in, with the suction sensors at the compressor', () => {
    const atCompressor = { ...heating, evaporating_C: -3, condensing_C: 46, suction_C: 3 };
    const modes = modesOf([cooling, standing, atCompressor, standing]);
    expect(minutesIn(modes, 'reversed')).toBe(120);
    expect(minutesIn(modes, 'cooling')).toBe(60);
    // Its reverse-cycle defrost cools the water for minutes.
    const defrost = { ...cooling, minutes: 5, suction_C: 4, entering_C: 38, leaving_C: 34, condensing_C: 12 };
    expect(minutesIn(modesOf([atCompressor, defrost, atCompressor]), 'defrost')).toBe(5);
  });

  it('is cooling where the two water thermometers are mixed up: it evaporates at the water all the same', () => {
    const mixedUp = { ...cooling, entering_C: 7, leaving_C: 12 };
    for (const suction_C of [9, 11.5])
      expect(minutesIn(modesOf([standing, { ...mixedUp, suction_C }, standing]), 'cooling')).toBe(60);
  });

  it('is reversed by its pressures where no water temperature is sent, if they are so for a part of the time', () => {
    const dry = (phase: Phase) => ({ ...phase, entering_C: NaN, leaving_C: NaN });
    expect(minutesIn(modesOf([dry(cooling), dry(heating), dry(cooling)]), 'reversed')).toBe(120);
    // All the time: transducers may be swapped.
    expect(minutesIn(modesOf([dry(heating)]), 'reversed')).toBe(0);
    expect(minutesIn(modesOf([dry(heating)], true), 'reversed')).toBe(120);
  });

  it('is a defrost where hot gas warms the evaporator for minutes', () => {
    const modes = modesOf([cooling, hotGas, cooling]);
    expect(minutesIn(modes, 'defrost')).toBe(8);
    expect(minutesIn(modes, 'cooling')).toBe(120);
  });

  it('is a defrost where another circuit goes on cooling the shared water', () => {
    expect(minutesIn(modesOf([cooling, { ...hotGas, leaving_C: 8.5 }, cooling]), 'defrost')).toBe(8);
  });

  it('is a defrost where a heating unit cools its water between two spells of heating', () => {
    const reverse = {
      ...cooling,
      minutes: 6,
      evaporating_C: 24,
      suction_C: 24.6,
      entering_C: 38,
      leaving_C: 35,
    };
    expect(minutesIn(modesOf([heating, reverse, heating], true), 'defrost')).toBe(6);
  });

  it('is a defrost too where the series begins or ends in it', () => {
    const reverse = {
      ...cooling,
      minutes: 4,
      evaporating_C: 24,
      suction_C: 24.6,
      entering_C: 38,
      leaving_C: 35,
    };
    expect(minutesIn(modesOf([reverse, heating], true), 'defrost')).toBe(4);
    expect(minutesIn(modesOf([heating, reverse], true), 'defrost')).toBe(4);
    expect(minutesIn(modesOf([cooling, standing, heating], true), 'defrost')).toBe(0);
  });

  it('stays cooling where transducers are swapped, read an atmosphere high or a thermometer is loose', () => {
    const swapped = { ...cooling, evaporating_C: 40, condensing_C: 3 };
    const high = { ...cooling, evaporating_C: 11 };
    const loose = { ...cooling, suction_C: 24 };
    for (const wrong of [swapped, high, loose])
      expect(minutesIn(modesOf([standing, wrong, wrong]), 'cooling')).toBe(120);
  });

  it('stays cooling on a start, when the evaporator is still warm for half a minute', () => {
    const warm = { ...cooling, minutes: 0.5, evaporating_C: 14 };
    expect(minutesIn(modesOf([standing, warm, cooling]), 'defrost')).toBe(0);
  });

  it('is a pump-down where the valve shuts and the evaporator empties before the stop', () => {
    const emptying = [-2, -8, -15].map((evaporating_C) => ({
      ...cooling,
      minutes: 0.5,
      evaporating_C,
      opening: 0,
    }));
    const modes = modesOf([cooling, ...emptying, standing]);
    expect(minutesIn(modes, 'pump-down')).toBe(1.5);
    expect(minutesIn(modes, 'cooling')).toBe(60);
  });

  it('is no pump-down where a unit stops as it runs, or shuts its valve at low load for long', () => {
    expect(minutesIn(modesOf([cooling, standing]), 'pump-down')).toBe(0);
    expect(
      minutesIn(modesOf([cooling, { ...cooling, minutes: 5, opening: 1.5 }, standing]), 'pump-down'),
    ).toBe(0);
  });
});
