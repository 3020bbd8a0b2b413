import { latenessBin, latenessBins } from '@coldrounds/core/telemetry';
import { describe, expect, it } from 'vitest';
import type { CircuitHeard, LastHeard } from '../../storage/assessment/silence.repository.js';
import type { DayOfUnit } from '../../storage/delivery/data-health.repository.js';
import { unitHealth } from './unit-health.js';

const now_s = 1_780_000_000;

const circuit = (changed: Partial<CircuitHeard> = {}): CircuitHeard => ({
  ...{ number: 1, circuitAddedAt_s: null, newestReading_s: now_s - 10, interval_s: 10, onChange: false },
  ...{
    checkedUntil_s: null,
    newestPressure_s: null,
    newestTemperature_s: null,
    missing: 0,
    missingBefore: 0,
  },
  ...changed,
});
const unit = (...circuits: CircuitHeard[]): LastHeard => {
  const newest = circuits.flatMap(({ newestReading_s }) => newestReading_s ?? []);
  return {
    ...{ unitId: 1, addedAt_s: null, online: null, onlineSince_s: null, interval_s: 10, circuits },
    newestReading_s: newest.length === 0 ? null : Math.max(...newest),
  };
};
const day = (changed: Partial<DayOfUnit> = {}): DayOfUnit => {
  const lateness = new Array<number>(latenessBins).fill(0);
  lateness[latenessBin(3)] = 100;
  return {
    ...{ unitId: 1, samples: 8640, messages: 8640, steps: 8640, repeats: 0, history: 0, lateness },
    ...{ hours: Array.from({ length: 24 }, () => ({ live_s: 2, history_s: null })) },
    ...{ last_s: now_s - 5, historyAt_s: null, historyUntil_s: null },
    ...changed,
  };
};

describe('the state of a unit’s data', () => {
  it('is complete where all that its interval promises came', () => {
    expect(unitHealth(unit(circuit()), day(), now_s)).toMatchObject({
      ...{ expected: 8640, received: 8640, missing: 0, lost: 0, catchingUp: false },
      clock: { offset_s: 2, shifted: false },
    });
  });

  it('lacks what ended windows lack, and what a silence that goes on has lost', () => {
    const silent_s = 6 * 3600;
    const seen = unitHealth(
      unit(circuit({ missing: 720, newestReading_s: now_s - silent_s })),
      day({ samples: 8640 - 720 - silent_s / 10 }),
      now_s,
    );
    expect(seen).toMatchObject({ missing: 720 + 2160, expected: 8640 });
    expect(seen.lost).toBeCloseTo(1 / 3, 9);
  });

  it('never lacks more than a day of samples', () => {
    expect(
      unitHealth(unit(circuit({ missing: 5000, newestReading_s: now_s - 40 * 86_400 })), undefined, now_s),
    ).toMatchObject({ missing: 8640, expected: 8640, lost: 1, lastMessage_s: null });
  });

  it('of one circuit that is silent beside one that sends is half lost', () => {
    const two = unit(circuit(), circuit({ number: 2, newestReading_s: now_s - 2 * 86_400 }));
    expect(unitHealth(two, day(), now_s).lost).toBeCloseTo(0.5, 9);
  });

  it('promises nothing of what is sent on change, of which a long silence alone is a loss', () => {
    const onChange = { onChange: true, newestReading_s: now_s - 1800 };
    expect(unitHealth(unit(circuit(onChange)), day({ samples: 90 }), now_s)).toMatchObject({
      ...{ expected: null, lost: 0, received: 90 },
    });
    const half = unit(circuit({ ...onChange, newestReading_s: now_s - 43_200 }));
    expect(unitHealth(half, day(), now_s).lost).toBeCloseTo(0.5, 9);
  });

  it('was never heard without a reading', () => {
    expect(
      unitHealth(unit(circuit({ newestReading_s: null, interval_s: null })), undefined, now_s),
    ).toMatchObject({
      ...{ lost: 1, expected: null, latenessP50_s: null, clock: null },
    });
  });

  it('is catching up while history comes in, and not where its clock is far off', () => {
    const history = { historyAt_s: now_s - 60, historyUntil_s: now_s - 7200, history: 500 };
    expect(unitHealth(unit(circuit()), day(history), now_s)).toMatchObject({
      ...{ catchingUp: true, historyUntil_s: now_s - 7200 },
    });
    expect(
      unitHealth(unit(circuit()), day({ ...history, historyAt_s: now_s - 3600 }), now_s).catchingUp,
    ).toBe(false);
    const shifted = day({
      ...history,
      hours: Array.from({ length: 24 }, (_, i) => ({ live_s: null, history_s: 3600 + (i % 5) })),
    });
    expect(unitHealth(unit(circuit()), shifted, now_s)).toMatchObject({
      ...{ catchingUp: false, historyUntil_s: null },
      clock: { shifted: true },
    });
  });
});
