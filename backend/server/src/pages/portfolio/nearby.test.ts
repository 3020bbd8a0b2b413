import { describe, expect, it } from 'vitest';
import type { SiteFigures } from '../../storage/repositories/portfolio.repository.js';
import { distance_m, nearbySites } from './nearby.js';

const at = (latitude_deg: number, longitude_deg: number) => ({ latitude_deg, longitude_deg });

describe('the distance of two sites', () => {
  // PUBLISHED: the meridian from the equator to a pole of WGS 84 is 10,001,966 m long (NIMA TR8350.2); a sphere is off by under 0.6 %.
  it('is a quarter of a meridian from the equator to a pole', () => {
    const pole = distance_m(at(0, 0), at(90, 0));
    expect(Math.abs(pole / 10_001_966 - 1)).toBeLessThan(0.006);
  });

  // By definition, meridians are half as far apart at 60 degrees as at the equator.
  it('shrinks between meridians by the cosine of the latitude, also over the date line', () => {
    const equator = distance_m(at(0, 10), at(0, 10.1));
    expect(distance_m(at(60, 10), at(60, 10.1)) / equator).toBeCloseTo(0.5, 4);
    expect(distance_m(at(0, 179.95), at(0, -179.95))).toBeCloseTo(equator, 3);
    expect(distance_m(at(48, 9), at(48, 9))).toBe(0);
  });
});

describe('sites near by', () => {
  const site = (key: string, latitude_deg: number, byUrgency = [1, 0, 0, 0, 0]) =>
    ({ key, latitude_deg, longitude_deg: 9, byUrgency }) as SiteFigures;
  const keys = (found: ReturnType<typeof nearbySites>) => found.map((near) => near.site.key);

  it('are those within 60 km where something is due, nearest first', () => {
    // A degree of latitude is some 111 km.
    const sites = [
      site('here', 48),
      site('far', 48.6),
      site('second', 48.4),
      site('first', 47.9),
      site('only watched', 48.1, [0, 0, 0, 5, 2]),
      site('next visit', 48.5, [0, 0, 1, 0, 0]),
    ];
    expect(keys(nearbySites('here', sites))).toEqual(['first', 'second', 'next visit']);
    expect(nearbySites('here', sites)[0]!.distance_m).toBeCloseTo(11_120, -1);
  });

  it('are none where no position is known, and five at most', () => {
    const unknown = { ...site('nowhere', 0), longitude_deg: 0 };
    expect(nearbySites('nowhere', [unknown, site('first', 0.1)])).toEqual([]);
    expect(nearbySites('here', [site('here', 0.1), unknown])).toEqual([]);
    const empty = (key: string) => ({ ...site(key, 48), latitude_deg: null, longitude_deg: null });
    expect(nearbySites('one', [empty('one'), empty('other'), site('first', 0.1)])).toEqual([]);
    expect(nearbySites('here', [site('here', 0.1), empty('other')])).toEqual([]);
    expect(nearbySites('elsewhere', [site('here', 48)])).toEqual([]);
    const many = Array.from({ length: 9 }, (_, k) => site(`near ${k}`, 48 + k / 100));
    expect(nearbySites('here', [site('here', 48), ...many])).toHaveLength(5);
  });
});
