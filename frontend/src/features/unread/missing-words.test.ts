import { describe, expect, it } from 'vitest';
import { missingWords } from './missing-words.js';

const nothing = {
  samples: 0,
  units: 0,
  sites: 0,
  worst: [],
  messagesLost: [],
  notJudged: { windows: 0, closings: 0, circuits: 0, modules: 0 },
};

describe('what is missing', () => {
  it('is nothing where all came', () => {
    expect(missingWords(nothing)).toEqual([]);
  });

  it('names the numbers, and the setting to change where a broker dropped messages', () => {
    const [broker, samples, failed] = missingWords({
      ...nothing,
      samples: 1234,
      units: 1,
      sites: 1,
      messagesLost: [{ broker: 'mqtt://broker:1883', lost: 312, firstAt: null, lastAt: null }],
      notJudged: { windows: 2, closings: 1, circuits: 0, modules: 0 },
    });
    expect(broker).toMatch(/mqtt:\/\/broker:1883 dropped 312 messages.*max_queued_messages/);
    expect(samples).toMatch(/1,?.?234 samples of 1 unit /);
    expect(failed).toMatch(/2 windows, 1 closing\./);
  });
});
