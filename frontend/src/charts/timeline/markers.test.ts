import { describe, expect, it } from 'vitest';
import { markerPlaces, markersOf } from './markers.js';

const readings = {
  time_s: [0, 10, 20, 30, 40],
  superheatSetpoint_K: [6, 6.05, null, 8, 8],
  mainsLosses: [{ from_s: 25, to_s: 28 }],
};

describe('markers over the readings', () => {
  it('are findings, losses of mains and changed settings, in time order', () => {
    const findings = [{ condition: 'valve-wear', firstSeen_s: 12 }];
    const markers = markersOf(readings, { findings, visits_s: [18] }, 'si');
    expect(markers).toEqual([
      { at_s: 12, words: 'valve wear first seen' },
      { at_s: 18, words: 'visit' },
      { at_s: 25, words: 'power lost' },
      { at_s: 30, words: 'setpoint 8.0 K' },
    ]);
  });
  it('leave out what lies outside the readings, and the oldest of many', () => {
    const often = Array.from({ length: 20 }, (_, index) => ({ condition: 'hunting', firstSeen_s: index }));
    const happened = { findings: often, visits_s: [] };
    const markers = markersOf({ ...readings, mainsLosses: [] }, happened, 'si');
    expect(markers).toHaveLength(8);
    expect(markers.at(-1)!.words).toBe('setpoint 8.0 K');
    expect(markersOf({ ...readings, time_s: [] }, happened, 'si')).toEqual([]);
  });
  it('are one for a visit at which several findings were closed', () => {
    const plain = { time_s: [0, 90_000], superheatSetpoint_K: [6, 6], mainsLosses: [] };
    const markers = markersOf(plain, { findings: [], visits_s: [80_000, 1200, 600, 3000] }, 'si');
    expect(markers.map(({ at_s }) => at_s)).toEqual([600, 80_000]);
  });
  it('lie in the window by the clock of the site, and not outside of it', () => {
    const markers = [
      { at_s: 5, words: 'power lost' },
      { at_s: 95, words: 'visit' },
    ];
    // PUBLISHED: IANA time zone database: this zone is eight hours ahead of UTC at any time, its sign being reversed.
    const ahead_ms = 8 * 3_600_000;
    expect(markerPlaces(markers, { from: ahead_ms, to: ahead_ms + 20_000 }, { zone: 'Etc/GMT-8' })).toEqual([
      { along: 0.25, words: 'power lost' },
    ]);
  });
});
