import { describe, expect, it } from 'vitest';
import type { CircuitHeard, LastHeard } from '../storage/assessment/silence.repository.js';
import { missingTelemetry } from './missing-telemetry.js';

const now_s = 1_780_000_000;
const hours = (n: number) => now_s - n * 3600;

const circuit = (number: number, changed: Partial<CircuitHeard> = {}): CircuitHeard => ({
  ...{ number, circuitAddedAt_s: null, newestReading_s: now_s - 10, interval_s: 10, onChange: false },
  ...{ checkedUntil_s: hours(1), newestPressure_s: hours(1), newestTemperature_s: hours(1) },
  ...{ missing: 0, missingBefore: 0 },
  ...changed,
});
const unit = (...circuits: CircuitHeard[]): LastHeard => ({
  ...{
    unitId: 1,
    newestReading_s: now_s - 10,
    addedAt_s: null,
    online: null,
    onlineSince_s: null,
    interval_s: 10,
  },
  circuits,
});
const found = (...circuits: CircuitHeard[]) =>
  missingTelemetry(unit(...circuits), now_s).map(({ condition, subject, urgency }) => ({
    condition,
    subject,
    urgency,
  }));

describe('what has been missing for over a day', () => {
  it('is nothing where all comes, or is missing for less than a day', () => {
    expect(found(circuit(1), circuit(2))).toEqual([]);
    expect(found(circuit(1), circuit(2, { newestReading_s: hours(23.9) }))).toEqual([]);
    expect(found(circuit(1, { newestPressure_s: hours(24) }))).toEqual([]);
  });

  it('is a circuit that sends nothing while others of its unit do', () => {
    expect(found(circuit(1), circuit(2, { newestReading_s: hours(24) }))).toEqual([
      { condition: 'missing-telemetry', subject: { kind: 'circuit', circuit: 2 }, urgency: 'this-week' },
    ]);
    const [finding] = missingTelemetry(unit(circuit(1), circuit(2, { newestReading_s: hours(30) })), now_s);
    expect(finding.headline.quantities.silence.value).toBe(30 * 3600);
    expect(finding.separatingCheck).not.toBeNull();
    expect(finding.hazards).toContain('live-parts');
  });

  it('is a circuit that never sent anything, once it has been registered for a day', () => {
    const never = {
      newestReading_s: null,
      checkedUntil_s: null,
      newestPressure_s: null,
      newestTemperature_s: null,
    };
    expect(found(circuit(1), circuit(2, never))).toHaveLength(1);
    expect(found(circuit(1), circuit(2, { ...never, circuitAddedAt_s: hours(23) }))).toEqual([]);
    expect(found(circuit(1), circuit(2, { ...never, circuitAddedAt_s: hours(25) }))).toHaveLength(1);
  });

  it('is a signal that superheat needs, told of once for each', () => {
    expect(found(circuit(1, { newestTemperature_s: hours(26) }))).toEqual([
      {
        condition: 'missing-telemetry',
        subject: { kind: 'sensor', circuit: 1, sensor: 'suction-temperature' },
        urgency: 'this-week',
      },
    ]);
    expect(found(circuit(1, { newestPressure_s: null, newestTemperature_s: null }))).toHaveLength(2);
    // What was looked at days ago tells nothing of now.
    expect(found(circuit(1, { checkedUntil_s: hours(30), newestPressure_s: null }))).toEqual([]);
  });

  it('is a fifth of the samples or more, of each of two days, where an even interval promises them', () => {
    // 8,640 samples of 10 s are a day.
    expect(found(circuit(1, { missing: 1727, missingBefore: 8000 }))).toEqual([]);
    expect(found(circuit(1, { missing: 1728, missingBefore: 1728 }))).toEqual([
      { condition: 'incomplete-telemetry', subject: { kind: 'circuit', circuit: 1 }, urgency: 'watch' },
    ]);
    expect(found(circuit(1, { missing: 4320, missingBefore: 1728 }))[0].urgency).toBe('next-visit');
    expect(found(circuit(1, { missing: 5000, missingBefore: 5000, onChange: true }))).toEqual([]);
    expect(found(circuit(1, { missing: 5000, missingBefore: 5000, interval_s: null }))).toEqual([]);
  });

  it('says of a circuit that sends nothing that alone', () => {
    expect(
      found(
        circuit(1, {
          newestReading_s: hours(48),
          newestPressure_s: null,
          missing: 8640,
          missingBefore: 8640,
        }),
      ),
    ).toHaveLength(1);
  });
});
