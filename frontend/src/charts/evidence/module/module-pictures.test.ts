import { describe, expect, it } from 'vitest';
import type { EvidenceOf, Reader } from '../picture.js';
import { silencePicture } from '../silence.js';
import { closingPicture } from './closing.js';
import { dischargePicture } from './discharge.js';
import { powerLossPicture } from './power-loss.js';
import { reservePicture } from './reserve.js';
import { restingPicture } from './resting.js';

const si: Reader = { system: 'si', zone: 'UTC' };
const day_s = 86_400;

const resting: EvidenceOf<'resting'> = {
  kind: 'resting',
  module: 1,
  time_s: [0, 1800],
  voltage_V: [21, 21],
  current_A: [null, null],
  health: [1, 0],
  ratedVoltage_V: 24,
  minimumVoltage_V: 10,
  floatLimit_A: null,
};

describe('the pictures of a module', () => {
  it('show the discharge now and when new, and where the converter stops', () => {
    const picture = dischargePicture(
      {
        kind: 'discharge',
        module: 1,
        startedAt_s: 0,
        time_s: [0, 5],
        voltage_V: [24, 12],
        voltageWhenNew_V: [24, 20],
        capacitance_F: 0.5,
        capacitanceWhenNew_F: 1,
        whenNewFrom: 'own',
        minimumVoltage_V: 10,
      },
      si,
    );
    expect(picture.panels[0].marks.map(({ name, y }) => [name, y])).toEqual([
      ['Now', [24, 12]],
      ['When new', [24, 20]],
    ]);
    expect(picture.panels[0].levels[0].value).toBe(10);
    expect(picture.says).toContain('discharged like a capacitor of 500 mF; when new it had 1.00 F');
  });
  it('show the reserve with the dates of its limits', () => {
    const picture = reservePicture(
      {
        kind: 'reserve',
        module: 1,
        time_s: [0, 100 * day_s],
        reserve: [2, 1.4],
        now: 1.38,
        limits: [{ limit: 1, p10_s: 150 * day_s, p50_s: 200 * day_s, p90_s: 250 * day_s }],
        suddenAt_s: null,
      },
      si,
    );
    expect(picture.panels[0].marks[1].x).toEqual([150 * day_s * 1000, 250 * day_s * 1000]);
    expect(picture.beside[0]).toBe('1.38 now');
    expect(picture.says).toMatch(
      /2\.00 on 1 Jan 1970, 1\.40 at the last closing, 1\.38 now; expected to reach 1\.0 between 31 May 1970/,
    );
  });
  it('show opening and voltage over a closing that did not shut', () => {
    const picture = closingPicture(
      {
        kind: 'closing',
        module: 1,
        startedAt_s: 0,
        time_s: [0, 10],
        valveOpening_pct: [80, 24],
        voltage_V: [24, 17.3],
        minimumVoltage_V: 10,
      },
      si,
    );
    expect(picture.says).toContain('valve opening from 80 % to 24 %, module voltage from 24.0 V to 17.3 V');
  });
  it('replay a loss of mains, shaded, with the lowest superheat after it', () => {
    const picture = powerLossPicture(
      {
        kind: 'power-loss',
        module: 1,
        from_s: 100,
        to_s: 200,
        circuit: 1,
        time_s: [0, 150, 250, 300],
        superheat_K: [6, -3, 1, 5],
        valveOpening_pct: [50, 20, 20, 50],
        floodbackLimit_K: 2,
        restartAt_s: 250,
        restartLowest_K: 1,
        moduleTime_s: [0, 150],
        voltage_V: [24, 20],
      },
      si,
    );
    expect(picture.spans).toEqual([{ from: 100_000, to: 200_000 }]);
    // What superheat read while the mains was gone is not the restart.
    expect(picture.beside).toEqual(['1.0 K', 'at restart']);
    expect(picture.lines).toEqual([{ at: 250_000, words: 'restart' }]);
  });
  it('show voltage and current at rest against the rated voltage', () => {
    const picture = restingPicture(resting, si, { condition: 'charger-low', claim: {} });
    expect(picture.panels.map(({ title }) => title)).toEqual(['Module voltage']);
    expect(picture.beside).toEqual(['21.0 V', '24.0 V rated']);
    expect(picture.says).toBe(
      'Module 1 rests at 21.0 V, rated 24.0 V; its health contact reports a fault in 1 of 2 half hours.',
    );
  });
  it('show what a leaking module draws against what is normal, without the charging that would hide it', () => {
    const picture = restingPicture(
      // Current is negative while the module is charged: 0.15 A after a test, 4 mA at rest.
      { ...resting, time_s: [0, 1800, 3600], current_A: [-0.15, -0.004, -0.0042], floatLimit_A: 0.0024 },
      si,
      { condition: 'leaking-charge', claim: { current: { kind: 'current', value: 0.0041 } } },
    );
    expect(picture.panels[0].title).toBe('Current drawn at rest');
    expect(picture.panels[0].marks[0].y).toEqual([null, 4, 4.2]);
    expect(picture.panels[0].levels[0].value).toBeCloseTo(2.4, 9);
    expect(picture.beside).toEqual(['draws 4.10 mA', 'normal 2.40 mA']);
    expect(picture.says).toContain('draws 4.20 mA, where up to 2.40 mA is normal');
  });
  it('show what the health contact reports, where the finding is about that', () => {
    const picture = restingPicture(resting, si, { condition: 'health-contact-stuck', claim: {} });
    expect(picture.panels[0].marks[0].y).toEqual([1, 0]);
    expect(picture.beside).toEqual(['good 50 %', 'of the time']);
    const good = { ...resting, health: [1, 1] };
    expect(restingPicture(good, si, { condition: 'health-contact-stuck', claim: {} }).beside[0]).toBe(
      'good 100 %',
    );
    expect(restingPicture(resting, si, { condition: 'health-fault', claim: {} }).beside[0]).toBe(
      'fault 50 %',
    );
  });
});

describe('the picture of silence', () => {
  const data = {
    ...{ kind: 'silence' as const, from_s: 0, to_s: 7200, width_s: 900 },
    of: { circuit: null as number | null, signal: null as string | null },
    circuits: [
      { circuit: 1, time_s: [0, 900], share: [1, 1] },
      { circuit: 2, time_s: [0, 900, 1800], share: [1, 0.5, 1] },
    ],
  };

  it('has a row of bars a circuit and shades the time since the last reading of any', () => {
    const picture = silencePicture(data, si);
    expect(picture.panels.map(({ marks }) => marks[0].x)).toEqual([
      [450_000, 1_350_000],
      [450_000, 1_350_000, 2_250_000],
    ]);
    expect(picture.spans).toEqual([{ from: 2_700_000, to: 7_200_000 }]);
  });

  it('of one circuit or signal shades since that one came last, and says which', () => {
    const picture = silencePicture({ ...data, of: { circuit: 1, signal: 'suction-temperature' } }, si);
    expect(picture.spans).toEqual([{ from: 1_800_000, to: 7_200_000 }]);
    expect(picture.says).toMatch(/^No values of suction temperature of circuit 1 for 1.5 h/);
  });

  it('of what comes in part shades nothing and says how much came', () => {
    const time_s = [0, 900, 1800, 2700, 3600, 4500, 5400, 6300];
    const half = [{ circuit: 1, time_s, share: time_s.map((_, i) => (i === 0 ? 1 : 0.5)) }];
    const picture = silencePicture({ ...data, circuits: half, of: { circuit: 1, signal: null } }, si);
    expect(picture.spans).toEqual([]);
    // (1 + 7 / 2) / 8 = 56 %.
    expect(picture.says).toBe(
      'About 56 % of the readings of circuit 1 came in the last two days, against the fullest quarter of an hour.',
    );
  });
});
