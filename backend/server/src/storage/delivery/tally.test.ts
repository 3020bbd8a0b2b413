import fc from 'fast-check';
import { latenessBin, latenessBins } from '@coldrounds/core/telemetry';
import { describe, expect, it } from 'vitest';
import type { DeliveryRow } from '../incoming/ingest-batch.js';
import { packTally, unpackTally } from './packed-tally.js';
import { Tally, tallyOf, type DeliveryHour } from './tally.js';

const hour_ms = 3_600_000;
const hour = 490_000;
const start_ms = hour * hour_ms;

const delivery = (receivedAt_ms: number, times_ms: number[], ownerId = 1): DeliveryRow => ({
  ...{ unitId: 7, table: 'reading', ownerId, receivedAt_ms },
  time_ms: Float64Array.from(times_ms),
});
const run = (ownerId: number, length: number, repeats = 0) => ({
  ...{ ownerId, length, repeats, time_ms: new Float64Array(length), columns: [] },
});

describe('what a batch counts', () => {
  it('is messages and steps by the hour of arrival, samples by the hour that they are of', () => {
    const [arrived, earlier] = tallyOf(
      [
        delivery(start_ms + 5_000, [start_ms - 10_000, start_ms]),
        delivery(start_ms + 15_000, [start_ms + 10_000]),
      ],
      [
        {
          table: 'reading',
          runs: [run(1, 3)],
          hours: [
            { ownerId: 1, hour: hour - 1, rows: 1, samples: 1 },
            { ownerId: 1, hour, rows: 2, samples: 2 },
          ],
        },
      ],
    );
    expect(arrived).toMatchObject({
      ...{ unitId: 7, hour, samples: 2, messages: 2, steps: 3, repeats: 0, history: 0 },
      ...{ least_s: 5, last_ms: start_ms + 15_000 },
    });
    // Late by 15 s, 5 s and 5 s.
    expect([arrived.late[latenessBin(15)], arrived.late[latenessBin(5)]]).toEqual([1, 2]);
    expect(earlier).toMatchObject({ hour: hour - 1, samples: 1, messages: 0 });
  });

  it('is a repeat where it changed nothing, in the batch or in the store', () => {
    const [only] = tallyOf(
      [delivery(start_ms + 5_000, [start_ms]), delivery(start_ms + 6_000, [start_ms])],
      [{ table: 'reading', runs: [run(1, 1, 1)], hours: [] }],
    );
    expect(only).toMatchObject({ messages: 2, steps: 2, repeats: 2, samples: 0 });
  });

  it('is history where the whole message is over ten minutes old, or a sample over seventy', () => {
    const late = (newest_s: number, oldest_s: number) =>
      tallyOf([delivery(start_ms, [start_ms - oldest_s * 1000, start_ms - newest_s * 1000])], [])[0];
    expect(late(601, 4000)).toMatchObject({
      ...{ history: 2, historyLeast_s: 601, least_s: Infinity },
      historyUntil_ms: start_ms - 601_000,
    });
    expect(late(599, 4000)).toMatchObject({ history: 0, least_s: 599, historyLeast_s: Infinity });
    expect(late(599, 4000).late[latenessBin(4000)]).toBe(1);
    // A pack of the last sample and a backlog: the one is live, the other history.
    expect(late(5, 4201)).toMatchObject({
      ...{ history: 1, least_s: 5, historyLeast_s: Infinity },
      historyUntil_ms: start_ms - 4_201_000,
    });
  });

  it('leaves nothing of a batch without messages of units', () => {
    expect(tallyOf([], [{ table: 'reading', runs: [run(1, 3)], hours: [] }])).toEqual([]);
  });
});

describe('a packed tally', () => {
  const count = fc.integer({ min: 0, max: 2 ** 31 - 1 });
  const lateness = fc.oneof(
    fc.constant(Infinity),
    fc.float({ noNaN: true, noDefaultInfinity: true, max: 1e9, min: -600 }),
  );
  const moment_ms = fc.oneof(
    fc.constant(-Infinity),
    fc.integer({ min: 0, max: 4e9 }).map((time_s) => time_s * 1000),
  );
  const entry = fc
    .record({
      ...{
        unitId: count,
        hour: fc.integer({ min: 0, max: 1e6 }),
        samples: count,
        messages: count,
        steps: count,
      },
      ...{ repeats: count, history: count, least_s: lateness, historyLeast_s: lateness, last_ms: moment_ms },
      historyAt_ms: moment_ms,
      late: fc.array(fc.oneof(fc.constant(0), count), { minLength: latenessBins, maxLength: latenessBins }),
    })
    .map((made): DeliveryHour => ({
      ...made,
      late: Uint32Array.from(made.late),
      historyUntil_ms: made.historyAt_ms,
    }));

  it('gives back what went in', () => {
    fc.assert(
      fc.property(fc.array(entry, { maxLength: 20 }), (entries) => {
        expect(unpackTally(packTally(entries))).toEqual(entries);
      }),
      { seed: 41, numRuns: 200 },
    );
  });

  it('takes some 20 bytes for a message of one sample', () => {
    const one = tallyOf(
      [delivery(start_ms + 5_000, [start_ms])],
      [{ table: 'reading', runs: [run(1, 1)], hours: [{ ownerId: 1, hour, rows: 1, samples: 1 }] }],
    );
    expect(packTally(one).length).toBeLessThan(30);
  });

  it('adds to others of the same unit and hour, in any order', () => {
    const parts = [
      tallyOf([delivery(start_ms + 5_000, [start_ms])], []),
      tallyOf([delivery(start_ms + 9_000, [start_ms + 8_000])], []),
    ];
    const sum = (of: DeliveryHour[][]) => {
      const tally = new Tally();
      for (const each of of.flat()) tally.add(each);
      return tally.sorted();
    };
    expect(sum(parts)).toEqual(sum([...parts].reverse()));
    expect(sum(parts)[0]).toMatchObject({ messages: 2, least_s: 1, last_ms: start_ms + 9_000 });
  });
});
