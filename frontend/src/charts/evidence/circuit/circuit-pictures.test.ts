import { describe, expect, it } from 'vitest';
import type { Claim, EvidenceOf, Reader } from '../picture.js';
import { distributionPicture } from './distribution.js';
import { overLoadPicture } from './over-load.js';
import { stopsPicture } from './stops.js';
import { swingPicture } from './swing.js';
import { wearPicture } from './wear.js';

const si: Reader = { system: 'si', zone: 'UTC' };
const inchPound: Reader = { system: 'inch-pound', zone: 'UTC' };
const bare: Claim = { condition: 'undercharge-suspected', claim: {} };

const swing: EvidenceOf<'swing'> = {
  kind: 'swing',
  circuit: 2,
  time_s: [0, 30, 60, 90],
  superheat_K: [6, 10, 6, 2],
  valveOpening_pct: [40, 42, 44, 42],
  cycles: [
    { from_s: 0, to_s: 30 },
    { from_s: 30, to_s: 60 },
    { from_s: 60, to_s: 90 },
  ],
  period_s: 90,
  amplitude_K: 4,
  floodbackLimit_K: 2,
};

describe('the picture of hunting', () => {
  const picture = swingPicture(swing, si);
  it('has superheat over the opening, the limit, and every second cycle shaded', () => {
    expect(picture.panels.map(({ title }) => title)).toEqual(['Superheat', 'Valve opening']);
    expect(picture.panels[0].marks[0].y).toEqual([6, 10, 6, 2]);
    expect(picture.panels[0].levels[0].value).toBe(2);
    expect(picture.spans).toEqual([
      { from: 0, to: 30_000 },
      { from: 60_000, to: 90_000 },
    ]);
  });
  it('says amplitude, period and cycles in words', () => {
    expect(picture.says).toMatch(/circuit 2 swings by 4\.0 K to either side every 90 s; 3 cycles/);
    expect(picture.beside).toEqual(['±4.0 K', 'every 90 s']);
  });
  it('is drawn in the units of the reader: 1 K of difference is 1.8 °F', () => {
    const other = swingPicture(swing, inchPound);
    expect(other.panels[0].marks[0].y[1]).toBeCloseTo(18, 9);
    expect(other.says).toContain('7.2 °F');
  });
  it('leaves the opening out where none was sent', () => {
    const without = swingPicture({ ...swing, valveOpening_pct: [null, null, null, null] }, si);
    expect(without.panels[1].marks).toEqual([]);
  });
});

describe('the picture of floodback', () => {
  const data: EvidenceOf<'distribution'> = {
    kind: 'distribution',
    circuit: 1,
    from_s: 0,
    to_s: 604_800,
    binWidth_K: 0.5,
    from_K: [1, 1.5, 2, 2.5, 3],
    share: [0, 0.15, 0.6, 0.25, 0],
    limit_K: 2,
    side: 'under',
    beyondFraction: 0.15,
    steady_s: 36_000,
  };
  it('has the used bins only, marks those under the limit and names the share', () => {
    const [{ marks }] = distributionPicture(data, si).panels;
    expect(marks[0].x).toEqual([1.75, 2.25, 2.75]);
    expect(marks[0].beyond).toEqual([true, false, false]);
    expect(distributionPicture(data, si).says).toBe(
      'Superheat of circuit 1 was under 2.0 K for 15 % of 10 h of steady running.',
    );
  });
  it('marks the other side for an evaporator that starves', () => {
    const [{ marks }] = distributionPicture({ ...data, side: 'over', limit_K: 2.5 }, si).panels;
    expect(marks[0].beyond).toEqual([false, false, true]);
  });
});

describe('the picture of charge', () => {
  const data: EvidenceOf<'over-load'> = {
    kind: 'over-load',
    since_s: 100,
    quantities: ['opening', 'subcooling', 'superheat'],
    circuits: [
      {
        circuit: 1,
        time_s: [0, 50, 100, 150],
        load_pct: [50, 80, 50, 80],
        superheat_K: [6, 6, 9, 11],
        setpoint_K: [6, 6, 6, 6],
        subcooling_K: [5, 5, 1, 1],
        opening_pct: [40, 60, null, 97],
        condensing_K: [310, 312, 309, 310],
      },
    ],
  };
  it('has a dot a window over its load, before and since apart', () => {
    const picture = overLoadPicture(data, si, bare);
    expect(picture.panels.map(({ title }) => title)).toEqual(['Valve opening', 'Subcooling', 'Superheat']);
    const [before, since] = picture.panels[1].marks;
    expect([before.x, before.y]).toEqual([
      [50, 80],
      [5, 5],
    ]);
    expect([since.x, since.y]).toEqual([
      [50, 80],
      [1, 1],
    ]);
    // A window without an opening has no dot there.
    expect(picture.panels[0].marks[1].x).toEqual([80]);
  });
  it('names the lowest superheat that was held steadily where it could be lower', () => {
    const floor = { kind: 'temperature-difference' as const, value: 4.6 };
    const claim: Claim = { condition: 'headroom', claim: { headroom: { ...floor, value: 2.4 }, floor } };
    const lower = { ...data, quantities: ['superheat' as const] };
    expect(overLoadPicture(lower, si, claim).panels[0].levels).toEqual([
      { value: 4.6, words: 'steady down to 4.6 K' },
    ]);
    const [level] = overLoadPicture(lower, inchPound, claim).panels[0].levels;
    expect(level.value).toBeCloseTo(8.28, 9);
    expect(level.words).toBe('steady down to 8.3 °F');
    expect(overLoadPicture(lower, si, claim).says).toMatch(
      /Superheat: before 6\.0 K, \S+ K since 1 Jan 1970/,
    );
  });
  it('sets two circuits side by side where they are compared', () => {
    const both = {
      ...data,
      quantities: ['condensing' as const],
      circuits: [data.circuits[0], { ...data.circuits[0], circuit: 2 }],
    };
    const picture = overLoadPicture(both, si, bare);
    expect(picture.panels[0].marks.map(({ name }) => name)).toEqual(['Circuit 1', 'Circuit 2']);
    expect(picture.panels[0].marks[0].y[0]).toBeCloseTo(36.85, 9);
  });
  it('has the limit that the finding names, in the units of the reader, and names its figure', () => {
    const claim: Claim = {
      condition: 'undercharge-suspected',
      claim: {
        subcooling: { kind: 'temperature-difference', value: 1 },
        limit: { kind: 'temperature-difference', value: 1.75 },
      },
    };
    const picture = overLoadPicture(data, inchPound, claim);
    expect(picture.panels.map(({ levels }) => levels.length)).toEqual([0, 1, 0]);
    expect(picture.panels[1].levels[0].value).toBeCloseTo(3.15, 9);
    expect(picture.beside).toEqual(['subcooling', '1.8 °F']);
  });
  it('has the setpoint beneath superheat that stays off it, and says on which side', () => {
    const picture = overLoadPicture({ ...data, quantities: ['superheat'] }, si, {
      condition: 'superheat-off-setpoint',
      claim: { offset: { kind: 'temperature-difference', value: 2.4 } },
    });
    const setpoint = picture.panels[0].marks.at(-1)!;
    expect([setpoint.name, setpoint.x, setpoint.y]).toEqual(['Setpoint', [50, 50, 80, 80], [6, 6, 6, 6]]);
    expect(picture.beside).toEqual(['+2.4 K', 'off setpoint']);
    const under = { ...data.circuits[0], superheat_K: [4, 4, 4, 4] };
    const below = overLoadPicture({ ...data, quantities: ['superheat'], circuits: [under] }, si, {
      condition: 'superheat-off-setpoint',
      claim: { offset: { kind: 'temperature-difference', value: 2 } },
    });
    expect(below.beside[0]).toBe('−2.0 K');
  });
  it('says nothing of a time before where no window is from then', () => {
    const since = overLoadPicture({ ...data, since_s: 0 }, si, bare);
    expect(since.caption).not.toMatch(/before/);
    expect(overLoadPicture(data, si, bare).caption).toMatch(/grey before/);
  });
});

describe('the picture of wear', () => {
  const data: EvidenceOf<'wear'> = {
    kind: 'wear',
    circuit: 1,
    day_s: [0, 86_400, 172_800],
    reversals: [700, 748, 900],
    travel_strokes: [9, 10, 11],
  };
  it('has a bar a day and says a middle day', () => {
    const picture = wearPicture(data, si, { condition: 'valve-wear', claim: {} });
    expect(picture.panels[0].marks[0].y).toEqual([700, 748, 900]);
    expect(picture.says).toContain('reverses 748 times and travels 10 full strokes');
  });
  it('says the figures of the finding’s own week, with a line for them', () => {
    const picture = wearPicture(data, si, {
      condition: 'valve-wear',
      claim: {
        reversals: { kind: 'rate-per-day', value: 990 },
        travel: { kind: 'rate-per-day', value: 530 },
      },
    });
    expect(picture.says).toBe(
      'The valve of circuit 1 reverses 990 times and travels 530 full strokes a day.',
    );
    expect(picture.panels.map(({ levels }) => levels[0].value)).toEqual([990, 530]);
    expect(picture.beside).toEqual(['990 reversals', 'a day']);
  });
});

describe('the picture of pressures that meet fast', () => {
  it('has each stop then and now, with what was usual, and says both', () => {
    const picture = stopsPicture(
      {
        kind: 'stops',
        circuit: 2,
        usual: { time_s: [0, 86_400, 172_800], left: [0.68, 0.7, 0.74] },
        since: { time_s: [259_200, 345_600, 432_000], left: [0.31, 0.28, 0.3] },
        usualLeft: 0.7,
      },
      { system: 'si', zone: 'UTC' },
    );
    const [panel] = picture.panels;
    expect(panel.marks.map(({ name, y }) => [name, y.length])).toEqual([
      ['While normal was learned', 3],
      ['Since', 3],
    ]);
    expect(panel.levels).toEqual([{ value: 70, words: 'usual' }]);
    expect(picture.says).toContain(
      '30 % of the difference of its pressures is left on the median of 3 stops',
    );
    expect(picture.says).toContain('70 % was usual');
    expect(picture.beside).toEqual(['30 % left', '70 % usual']);
    expect(picture.caption).not.toContain('Under 0 %');
  });
  it('says what values under nothing are, and that nothing is left', () => {
    const picture = stopsPicture(
      {
        kind: 'stops',
        circuit: 2,
        usual: { time_s: [0], left: [0.4] },
        since: { time_s: [259_200, 345_600], left: [-0.1, -0.13] },
        usualLeft: 0.4,
      },
      { system: 'si', zone: 'UTC' },
    );
    expect(picture.beside).toEqual(['0 % left', '40 % usual']);
    expect(picture.caption).toContain('Under 0 % the two transducers differ from each other.');
  });
});
