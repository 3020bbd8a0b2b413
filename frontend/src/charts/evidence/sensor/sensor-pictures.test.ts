import { describe, expect, it } from 'vitest';
import type { Claim, EvidenceOf, Reader } from '../picture.js';
import { betweenCircuitsPicture } from './between-circuits.js';
import { signalPicture } from './signal.js';
import { standstillPicture } from './standstill.js';
import { startPicture } from './start.js';
import { valveAnswersPicture } from './valve-answers.js';

const si: Reader = { system: 'si', zone: 'UTC' };
const none = [null, null, null];
const of = (condition: string, claim: Claim['claim'] = {}): Claim => ({ condition, claim });

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
  const picture = standstillPicture(
    data,
    si,
    of('sensor-bias', { off: { kind: 'temperature-difference', value: 3, uncertainty: 0.1 } }),
  );
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
    expect(picture.says).toContain('Suction temperature deviates by +3.0 K.');
    expect(picture.beside).toEqual(['+3.0 K', 'standing still']);
  });
  it('draws the sensor that reads wrong stronger than the others', () => {
    expect(picture.panels[0].marks.filter(({ strong }) => strong).map(({ name }) => name)).toEqual([
      'Suction temperature',
    ]);
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
    const picture = signalPicture(frozen, si, of('value-frozen'));
    expect(picture.says).toContain('reads 7.0 °C all the time');
    expect(picture.spans).toEqual([{ from: 60_000, to: 120_000 }]);
  });
  it('sets a loose one against ambient and evaporating temperature', () => {
    const loose = { ...frozen, value: [290.15, 292.15, 300.15] };
    const claim = of('sensor-loose', { share: { kind: 'share', value: 0.75 } });
    const picture = signalPicture(loose, si, claim);
    expect(picture.beside).toEqual(['75 % of way', 'to ambient']);
    // Running at the first time only: what is read while the circuit stands shows nothing of it.
    expect(picture.says).toContain('reads 17.0 °C while running, ambient 27.0 °C');
    expect(picture.panels[0].marks.map(({ name }) => name)).toEqual([
      'Suction temperature',
      'Ambient',
      'Evaporating temperature',
    ]);
  });
  it('says the figure of the finding: where it is clipped, by how much it scatters or jumps', () => {
    const pressure = { ...frozen, quantity: 'pressure' as const, value: [5e5, 18e5, 18e5] };
    const clipped = signalPicture(
      pressure,
      si,
      of('value-clipped', {
        value: { kind: 'pressure', value: 18e5 },
        share: { kind: 'share', value: 0.66 },
      }),
    );
    expect(clipped.beside).toEqual(['clipped at', '18.00 bar abs']);
    expect(clipped.panels[0].levels).toEqual([{ value: 18, words: 'clipped' }]);
    expect(clipped.says).toContain('for 66 % of all samples exactly 18.00 bar abs');
    const noisy = of('value-noisy', { scatter: { kind: 'pressure-difference', value: 25_000 } });
    expect(signalPicture(pressure, si, noisy).beside).toEqual(['scatters by', '0.25 bar']);
    const jumping = of('value-jumping', { size: { kind: 'pressure-difference', value: 90_000 } });
    expect(signalPicture(pressure, si, jumping).says).toContain('jumps by 0.90 bar and back');
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

describe('the picture of which reading follows a valve', () => {
  const picture = valveAnswersPicture(
    {
      kind: 'valve-answers',
      sensor: 'suction-pressure',
      circuit: 1,
      other: 2,
      from_s: 0,
      to_s: 86_400,
      windows: 4,
      lag_s: [10, 20, 30, 40, 50],
      ofOwn: [0, 0.01, 0, 0.02, 0],
      ofOther: [0.1, 0.2, 0.3, 0.31, 0.29],
    },
    si,
    of('swapped-between-circuits', {
      lag: { kind: 'duration', value: 40 },
      own: { kind: 'ratio', value: 0.02 },
      other: { kind: 'ratio', value: 0.31 },
    }),
  );
  it('has both circuits’ readings over the time after its steps, and marks the time that the finding names', () => {
    const [{ marks, levels }] = picture.panels;
    expect(marks.map(({ name, y }) => [name, y[3]])).toEqual([
      ['Registered on circuit 2', 0.31],
      ['Registered on circuit 1', 0.02],
    ]);
    expect(levels).toEqual([{ value: 0, words: 'no answer' }]);
    expect(picture.lines).toEqual([{ at: 40, words: '40 s' }]);
  });
  it('says the figures of the finding', () => {
    expect(picture.beside).toEqual(['2: 0.31', '1: 0.020']);
    expect(picture.says).toBe(
      'The suction pressure registered on circuit 2 follows the valve of circuit 1 (correlation 0.31 after 40 s), and the one registered on circuit 1 does not (0.020).',
    );
  });
});
