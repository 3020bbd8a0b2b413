import { describe, expect, it } from 'vitest';
import type { EvidenceOf, Reader } from '../picture.js';
import { betweenCircuitsPicture } from './between-circuits.js';
import { signalPicture } from './signal.js';
import { standstillPicture } from './standstill.js';
import { startPicture } from './start.js';

const si: Reader = { system: 'si', zone: 'UTC' };
const none = [null, null, null];

describe('the picture of a biased sensor', () => {
  const data: EvidenceOf<'standstill'> = {
    kind: 'standstill',
    circuit: 1,
    sensor: 'suction-temperature',
    from_s: 60,
    to_s: 120,
    time_s: [0, 60, 120],
    suctionSaturation_K: [280.15, 293.15, 293.15],
    dischargeSaturation_K: [300.15, 293.25, 293.25],
    suctionTemperature_K: [285.15, 296.15, 296.15],
    dischargeTemperature_K: [330.15, 300.15, 293.15],
    liquidTemperature_K: none,
    enteringWater_K: [285.15, 292.15, 293.15],
    leavingWater_K: none,
    ambient_K: none,
  };
  const picture = standstillPicture(data, si);
  it('has both saturations, the water and the accused sensor, and no other sensor', () => {
    expect(picture.panels[0].marks.map(({ name }) => name)).toEqual([
      'Suction saturation',
      'Discharge saturation',
      'Suction temperature',
      'Entering water',
    ]);
    expect(picture.panels[0].marks[2].y[1]).toBeCloseTo(23, 9);
  });
  it('shades the settled time and says what each reads in it', () => {
    expect(picture.spans).toEqual([{ from: 60_000, to: 120_000 }]);
    expect(picture.says).toContain('suction saturation 20.0 °C');
    expect(picture.says).toContain('suction temperature 23.0 °C');
  });
});

describe('the picture of swapped transducers', () => {
  it('names the pressures by their registration and marks the start', () => {
    const picture = startPicture(
      {
        kind: 'start',
        circuit: 2,
        startedAt_s: 60,
        time_s: [0, 60, 120],
        suctionPressure_Pa: [6e5, 6e5, 12e5],
        dischargePressure_Pa: [6e5, 6e5, 3e5],
      },
      si,
    );
    expect(picture.lines).toEqual([{ at: 60_000, words: 'start' }]);
    expect(picture.says).toMatch(
      /as suction reads 12\.00 bar abs, the one registered as discharge 3\.00 bar abs/,
    );
  });
});

describe('the picture of a signal', () => {
  const frozen: EvidenceOf<'signal'> = {
    kind: 'signal',
    circuit: 1,
    sensor: 'suction-temperature',
    quantity: 'temperature',
    time_s: [0, 60, 120],
    value: [280.15, 280.15, 280.15],
    ambient_K: [300.15, 300.15, 300.15],
    evaporating_K: [275.15, 275.15, 275.15],
    running: [true, false, false],
  };
  it('says that a frozen one reads the same all the time, through a stop that is shaded', () => {
    const picture = signalPicture(frozen, si);
    expect(picture.says).toContain('reads 7.0 °C all the time');
    expect(picture.spans).toEqual([{ from: 60_000, to: 120_000 }]);
  });
  it('sets a loose one against ambient and evaporating temperature', () => {
    expect(signalPicture(frozen, si, true).panels[0].marks.map(({ name }) => name)).toEqual([
      'suction temperature',
      'Ambient',
      'Evaporating temperature',
    ]);
  });
});

describe('the picture of sensors swapped between two circuits', () => {
  const of = (circuit: number, celsius: number[], running: boolean[]) => ({
    circuit,
    time_s: celsius.map((_, k) => 120 * k),
    value: celsius.map((value) => value + 273.15),
    running,
  });
  const data = (circuits: EvidenceOf<'between-circuits'>['circuits']): EvidenceOf<'between-circuits'> => ({
    kind: 'between-circuits',
    sensor: 'discharge-temperature',
    quantity: 'temperature',
    circuits,
  });
  const picture = betweenCircuitsPicture(
    data([
      of(1, [70, 20, 21, 70], [true, true, true, true]),
      of(2, [70, 65, 66, 70], [true, false, false, true]),
    ]),
    si,
  );
  it('has both circuits’ sensors, and shades the time in which only one of them runs', () => {
    expect(picture.panels[0].marks.map(({ name }) => name)).toEqual([
      'Registered on circuit 1',
      'Registered on circuit 2',
    ]);
    expect(picture.spans).toEqual([{ from: 120_000, to: 360_000 }]);
  });
  it('says what each reads then, whichever of the two runs', () => {
    expect(picture.says).toContain(
      'While only circuit 1 runs, its discharge temperature sensor reads 20.0 °C',
    );
    expect(picture.says).toContain('circuit 2, which stands, 65.0 °C');
    const other = betweenCircuitsPicture(
      data([of(1, [65, 70], [false, true]), of(2, [20, 70], [true, true])]),
      si,
    );
    expect(other.says).toContain('While only circuit 2 runs, its discharge temperature sensor reads 20.0 °C');
    expect(other.spans).toEqual([{ from: 0, to: 120_000 }]);
  });
});
