import { describe, expect, it } from 'vitest';
import { silenceFinding, silentAfter_s } from './silence.js';

const unit = { newestReading_s: 100_000, online: null, onlineSince_s: null, circuits: 2 };

describe('silentAfter_s', () => {
  it('is twelve minutes for readings of every ten seconds, and more the seldomer they come', () => {
    expect(silentAfter_s({ ...unit, interval_s: 10 })).toBe(720);
    expect(silentAfter_s({ ...unit, interval_s: 60 })).toBe(1200);
    expect(silentAfter_s({ ...unit, interval_s: 300 })).toBe(6000);
    expect(silentAfter_s({ ...unit, interval_s: 3600 })).toBe(7200);
  });

  it('waits for half an hour where the spacing is not known, and for an hour where values are sent on change', () => {
    expect(silentAfter_s(unit)).toBe(1800);
    expect(silentAfter_s({ ...unit, interval_s: 10, reporting: 'on-change' })).toBe(3600);
  });
});

describe('silenceFinding', () => {
  it('says nothing while readings are fresh', () => {
    expect(silenceFinding(unit, 100_000 + 29 * 60)).toBeNull();
  });

  it('watches after half an hour and calls after six hours', () => {
    expect(silenceFinding(unit, 100_000 + 31 * 60)?.urgency).toBe('watch');
    expect(silenceFinding(unit, 100_000 + 7 * 3600)?.urgency).toBe('this-week');
  });

  it('names a unit that never sent anything', () => {
    const finding = silenceFinding({ ...unit, newestReading_s: null }, 5);
    expect(finding?.headline.text).toContain('never sent telemetry');
    expect(finding?.reasons[0].quantities.circuits.value).toBe(2);
  });

  it('weighs the explanations by what the gateway reports', () => {
    const offline = silenceFinding({ ...unit, online: false, onlineSince_s: 100_100 }, 200_000)!;
    expect(offline.explanations[0]).toMatchObject({ cause: 'site network or gateway down', weight: 0.8 });
    const online = silenceFinding({ ...unit, online: true }, 200_000)!;
    expect(online.explanations[0].cause).toContain('controller');
    expect(online.explanations[1].contradicts).toHaveLength(1);
  });
});
