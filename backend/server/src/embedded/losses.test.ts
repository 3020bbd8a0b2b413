import { describe, expect, it } from 'vitest';
import { newLosses } from './losses.js';

const of = (lost: number, samples: number, units: number) => ({
  messagesLost: lost > 0 ? [{ broker: 'mqtt://a:1883', lost }] : [],
  samplesMissing: { samples, units },
  unreadMessages: [],
  notJudged: { windows: 0, closings: 0, circuits: 0, modules: 0 },
});

describe('lines about what was lost', () => {
  it('are none while nothing is lost', () => {
    expect(newLosses(null, of(0, 0, 0))).toEqual([]);
  });

  it('name the broker, the number and the setting to change, once and again when more is lost', () => {
    const [line] = newLosses(null, of(312, 0, 0));
    expect(line).toMatch(/mqtt:\/\/a:1883 has dropped 312 messages.*max_queued_messages 1000000000/);
    expect(newLosses(of(312, 0, 0), of(312, 0, 0))).toEqual([]);
    expect(newLosses(of(312, 0, 0), of(400, 0, 0))).toHaveLength(1);
  });

  it('tell of samples that did not come, again when more units lack them', () => {
    expect(newLosses(null, of(0, 1500, 1))).toEqual([expect.stringContaining('1,500 samples')]);
    expect(newLosses(of(0, 1500, 1), of(0, 1600, 1))).toEqual([]);
    expect(newLosses(of(0, 1500, 1), of(0, 1600, 2))).toHaveLength(1);
  });

  it('tell of what cannot be read or judged, again when there is twice as much', () => {
    const unread = (kept: number) => ({
      ...of(0, 0, 0),
      unreadMessages: [{ reason: 'not-json', kept, notKept: 5 }],
    });
    expect(newLosses(null, unread(10))).toEqual([expect.stringMatching(/15 messages .*not json/)]);
    expect(newLosses(unread(10), unread(11))).toEqual([]);
    const failed = { ...of(0, 0, 0), notJudged: { windows: 1, closings: 2, circuits: 0, modules: 0 } };
    expect(newLosses(null, failed)).toEqual([expect.stringMatching(/^3 windows, closings/)]);
  });
});
