import { describe, expect, it } from 'vitest';
import type { ComparedPlateau } from '../normal/departures/compare-plateaus.js';
import { channels } from '../normal/plateaus/channels.js';
import type { WindowPlateaus } from '../normal/plateaus/window-plateaus.js';
import { normalQuantities } from '../normal/quantities/quantities.js';
import { packComparisons, packPlateaus, unpackComparisons, unpackPlateaus } from './packed-plateaus.js';

const start_s = 1_780_344_000;
/** Numbers that single precision holds exactly. */
const valueOf = (k: number) => ({ value: 250 + k / 8, uncertainty: 1 / 2 ** (k + 1) });

describe('plateaus, packed', () => {
  const windows: WindowPlateaus[] = [
    {
      start_s,
      ran_s: 0,
      cuts: [],
      stops: [{ at_s: start_s + 600.5, left: 0.625 }],
      atStart: [{ at_s: start_s + 10.5, left: 0.5 }],
      ranUntil_s: null,
    },
    {
      start_s: start_s + 7200,
      ran_s: 6000,
      cuts: [
        {
          level: 3,
          steady_s: 1200,
          plateaus: [
            {
              from_s: start_s + 7200.25,
              to_s: start_s + 8400.5,
              samples: 120,
              values: Object.fromEntries(channels.map((channel, k) => [channel, valueOf(k)])),
            },
            {
              from_s: start_s + 9000,
              to_s: start_s + 9900,
              samples: 3,
              values: { waterFlow_m3_s: valueOf(2) },
            },
          ],
        },
      ],
      stops: [],
      atStart: [],
      ranUntil_s: start_s + 14_390.5,
    },
  ];

  it('come back with every window, cut and channel, and none that was not sent', () => {
    expect(unpackPlateaus(packPlateaus(windows))).toEqual(windows);
  });

  it('take some 150 bytes a plateau with all of its channels', () => {
    expect(packPlateaus(windows).length).toBeLessThan(280);
  });
});

describe('comparisons, packed', () => {
  it('come back with what was compared, and with what was not', () => {
    const compared: ComparedPlateau[] = [
      {
        from_s: start_s + 0.5,
        to_s: start_s + 900,
        distance: 1.25,
        checksum: 0xffff_fffe,
        z: Object.fromEntries(normalQuantities.map((quantity, k) => [quantity, k - 6.5])),
      },
      { from_s: start_s + 1000, to_s: start_s + 1900, distance: null, checksum: 0, z: {} },
    ];
    expect(unpackComparisons(packComparisons(compared))).toEqual(compared);
  });
});
