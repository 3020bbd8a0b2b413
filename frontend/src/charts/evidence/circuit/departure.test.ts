import { describe, expect, it } from 'vitest';
import { layOut } from '../lay-out.js';
import type { EvidenceOf, Reader } from '../picture.js';
import { tableOf } from '../table.js';
import { departurePicture } from './departure.js';

const si: Reader = { system: 'si', zone: 'UTC' };
const inchPound: Reader = { system: 'inch-pound', zone: 'UTC' };

const data: EvidenceOf<'departure'> = {
  kind: 'departure',
  circuit: 2,
  learnedFrom_s: 0,
  learnedUntil_s: 86_400 * 14,
  likeUnits: null,
  since_s: 86_400 * 20,
  predictor: 'load',
  curves: [
    {
      quantity: 'condenserApproach_K',
      z: 6,
      band: { x: [0.5, 1], expected: [2, 4], low: [1.8, 3.8], high: [2.2, 4.2] },
      then: { time_s: [0, 7200], x: [0.5, 1], value: [2.1, 3.9] },
      now: { time_s: [86_400 * 20], x: [0.75], value: [4.5] },
    },
    {
      quantity: 'compressorPower_W',
      z: -3,
      band: { x: [0.5, 1], expected: [0.5, 1], low: [0.48, 0.98], high: [0.52, 1.02] },
      then: { time_s: [0], x: [0.5], value: [0.5] },
      now: { time_s: [86_400 * 20], x: [0.75], value: [0.7] },
    },
  ],
};

describe('the picture of a departure from normal', () => {
  const picture = departurePicture(data, si);

  it('has a panel a quantity over its predictor: the band, then in grey and now in red', () => {
    expect(picture.x).toEqual({ kind: 'number', title: 'Load, of full load', unit: '%' });
    expect(picture.panels.map(({ title, unit }) => [title, unit])).toEqual([
      ['Condenser approach', 'K'],
      ['Compressor power, of its highest usual value', '%'],
    ]);
    const [low, expected, high, then, now] = picture.panels[0].marks;
    expect([low.y, expected.y, high.y]).toEqual([
      [1.8, 3.8],
      [2, 4],
      [2.2, 4.2],
    ]);
    expect(then).toMatchObject({ name: 'Then', tone: 'quiet', x: [50, 100], y: [2.1, 3.9] });
    expect(now).toMatchObject({ name: 'Now', tone: 'limit', x: [75], y: [4.5] });
    expect(picture.panels[1].marks[4].y).toEqual([70]);
  });

  it('says how far off each quantity is at its place on the predictor: 4.5 K where 3 K are normal', () => {
    expect(picture.says).toBe(
      'Circuit 2 against its own normal, medians: Condenser approach is 1.5 K over normal; ' +
        'Compressor power, of its highest usual value is 5.0 % under normal.',
    );
    expect(picture.beside).toEqual(['+1.5 K', 'condenser approach']);
  });

  it('says so where normal is what like units do, which has no dots of before', () => {
    const byLike = departurePicture({ ...data, likeUnits: 9 }, si);
    expect(byLike.says).toContain('against what 9 like units do');
    expect(byLike.caption).not.toContain('when normal was learned');
    expect(picture.caption).toContain('grey from');
  });

  it('is drawn in the units of the reader: 1.5 K of difference are 2.7 °F', () => {
    expect(departurePicture(data, inchPound).beside[0]).toBe('+2.7 °F');
  });

  it('can be laid out and read as a table', () => {
    const { panels } = layOut(picture, { width: 600, height: 300, small: false });
    expect(panels[0].paths).toHaveLength(3);
    expect(panels[0].dots).toHaveLength(3);
    expect(tableOf(picture).columns.slice(0, 3)).toEqual([
      'Load, of full load, %',
      'Normal, low, K',
      'Normal, K',
    ]);
  });

  it('stands over water where the load is not known', () => {
    const over = departurePicture(
      {
        ...data,
        predictor: 'sink',
        curves: [{ ...data.curves[0], now: { ...data.curves[0].now, x: [300.15] } }],
      },
      si,
    );
    expect(over.x).toMatchObject({ title: 'What the condenser is cooled by', unit: '°C' });
    expect(over.panels[0].marks[4].x[0]).toBeCloseTo(27, 9);
  });
});
