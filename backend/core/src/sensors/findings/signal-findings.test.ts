import { describe, expect, it } from 'vitest';
import { emptyCircuitSeries } from '../../telemetry/circuit-series.js';
import type { LooseEvidence } from '../running/running-evidence.js';
import type { SignalFault } from '../signals/signal-health.js';
import { sensorWords } from './sensor-findings.js';
import type { SensorName } from '../standstill/thermal-consensus.js';
import { looseDraft, signalDraft, swappedDraft } from './signal-findings.js';

const sensorNames = Object.keys(sensorWords) as SensorName[];
const fault = (kind: SignalFault['kind'], value = 285, measure = 7200): SignalFault => ({
  kind,
  value,
  measure,
  from_s: 100,
  to_s: 900,
});
/** Samples at 0, 10, 20 ... s, of which the third to the sixth ran. */
const series = emptyCircuitSeries(10);
series.time_s.forEach((_, i) => (series.time_s[i] = 10 * i));
const running = [2, 3, 4, 5];

describe('what is said of a signal', () => {
  it('is its kind, when it was seen, and its value in the unit of the sensor', () => {
    for (const sensor of sensorNames) {
      const pressure = sensor.endsWith('pressure');
      const [level, size] = pressure
        ? ['pressure', 'pressure-difference']
        : ['temperature', 'temperature-difference'];
      const kinds = (['value-frozen', 'value-clipped', 'value-jumping', 'value-noisy'] as const).map(
        (kind) => {
          const draft = signalDraft(sensor, fault(kind));
          expect(draft).toMatchObject({ condition: kind, sensor, firstSeen_s: 100, lastSeen_s: 900 });
          const { value, size: jump, scatter } = draft.headline.quantities;
          const said = (value ?? jump ?? scatter)!;
          expect(said.value).toBe(285);
          return said.kind;
        },
      );
      expect(kinds).toEqual([level, level, size, size]);
    }
  });

  it('has what a suction sensor does to the valve, and that one of the high side does nothing to it', () => {
    for (const sensor of sensorNames)
      for (const kind of ['value-frozen', 'value-clipped', 'value-jumping', 'value-noisy'] as const) {
        const effect = signalDraft(sensor, fault(kind)).reasons.at(-1)!.text;
        expect(effect, `${sensor} ${kind}`).toMatch(
          sensor.startsWith('suction')
            ? /^A controller that uses this sensor .* valve/
            : /^Superheat control does not use this sensor/,
        );
      }
  });

  // Judgement, no source.
  it('is sure and this week where a suction sensor is frozen; all else waits for the next visit', () => {
    const of = (sensor: Parameters<typeof signalDraft>[0], kind: SignalFault['kind']) => {
      const { certainty, urgency, score } = signalDraft(sensor, fault(kind));
      return [certainty, urgency, score];
    };
    expect(of('suction-pressure', 'value-frozen')).toEqual(['certain', 'this-week', 60]);
    expect(of('liquid-temperature', 'value-frozen')).toEqual(['certain', 'next-visit', 30]);
    const jumping = (perHour: number) =>
      signalDraft('suction-pressure', { ...fault('value-jumping', 3e4, 10 * perHour), to_s: 100 + 36_000 })
        .urgency;
    expect([jumping(1), jumping(0.9)]).toEqual(['next-visit', 'watch']);
    const clipped = (sensor: Parameters<typeof signalDraft>[0], fraction: number) =>
      signalDraft(sensor, fault('value-clipped', 285, fraction)).urgency;
    expect([clipped('suction-pressure', 0.19), clipped('suction-pressure', 0.2)]).toEqual([
      'next-visit',
      'this-week',
    ]);
    expect(clipped('discharge-pressure', 0.9)).toBe('next-visit');
    expect(of('suction-pressure', 'value-jumping')).toEqual(['likely', 'next-visit', 25]);
    expect(of('suction-pressure', 'value-noisy')).toEqual(['likely', 'next-visit', 20]);
  });

  it('has the scatter of a noisy one as its error, without a bias', () => {
    expect(signalDraft('liquid-temperature', fault('value-noisy', 0.4)).error).toEqual({
      bias: 0,
      uncertainty: 0,
      noise: 0.4,
    });
    expect(signalDraft('liquid-temperature', fault('value-frozen')).error).toBeUndefined();
  });
});

describe('swapped transducers', () => {
  it('are certain, today, seen over the running, with the share of the time', () => {
    const draft = swappedDraft(0.97, series, running);
    expect(draft).toMatchObject({
      condition: 'transducers-swapped',
      certainty: 'certain',
      urgency: 'today',
      score: 80,
      firstSeen_s: 20,
      lastSeen_s: 50,
    });
    expect(draft.reasons[0]!.quantities.share!.value).toBe(0.97);
  });

  it('are only possible, and watched, where a unit that heats would look alike', () => {
    const draft = swappedDraft(0.97, series, running, false);
    expect([draft.certainty, draft.urgency]).toEqual(['possible', 'watch']);
    expect(draft.explanations!.map(({ cause }) => cause)[1]).toMatch(/unit that heats/);
  });
});

describe('a loose suction sensor', () => {
  const loose = (change: Partial<LooseEvidence> = {}): LooseEvidence => ({
    impliedEfficiency: null,
    ambientFraction: 0.4,
    superheat_K: 14,
    expected_K: 6,
    ambient_K: 305,
    valveOpening_pct: 50,
    follows: true,
    ...change,
  });
  const draft = (change: Partial<LooseEvidence> = {}, seen = true) =>
    looseDraft(loose(change), series, running, seen);

  it('opens the valve where it reads too high, and shuts it where it reads too low', () => {
    expect(draft().waiting!.text).toMatch(/liquid can reach the compressor/);
    expect(draft({ superheat_K: 1 }).waiting!.text).toMatch(/capacity is lost/);
    expect(draft({ superheat_K: 6 }).waiting!.text).toMatch(/capacity is lost/);
    // By its own reading the controller holds its setpoint, while the evaporator floods.
    expect(draft({ superheat_K: 6, impliedEfficiency: 1.1 }).waiting!.text).toMatch(/liquid can reach/);
  });

  // Judgement, no source.
  it('is for today once the valve stands at 85 % or the discharge shows flooding, else this week', () => {
    const of = (change: Partial<LooseEvidence>) => [draft(change).urgency, draft(change).score];
    expect(of({})).toEqual(['this-week', 55]);
    expect(of({ valveOpening_pct: 85 })).toEqual(['today', 85]);
    expect(of({ valveOpening_pct: 84.9 })).toEqual(['this-week', 55]);
    expect(of({ valveOpening_pct: 90, superheat_K: 1 })).toEqual(['this-week', 55]);
    expect(of({ impliedEfficiency: 1.1 })).toEqual(['today', 85]);
  });

  it('is only watched where the ambient hardly moved, so that it was not seen to follow it', () => {
    const unseen = draft({ follows: null });
    expect([unseen.certainty, unseen.urgency]).toEqual(['possible', 'watch']);
    expect(unseen.reasons.map(({ text }) => text).join()).toMatch(/ambient temperature hardly changed/);
    expect(draft({ follows: null, impliedEfficiency: 1.1 }).urgency).toBe('today');
  });

  it('is likelier where a standstill showed that it reads right there', () => {
    expect(draft({}, true).certainty).toBe('likely');
    expect(draft({}, false).certainty).toBe('possible');
    expect(draft({}, true).reasons[2]!.text).toMatch(/^With the circuit off/);
    expect(draft({}, false).reasons[2]!.text).toMatch(/^There was no long stop/);
  });

  it('says superheat, setpoint and opening, or that the discharge is too cold for it', () => {
    const { quantities } = draft().reasons[1]!;
    expect([quantities.superheat!.value, quantities.setpoint!.value, quantities.opening!.value]).toEqual([
      14, 6, 50,
    ]);
    expect(draft({ impliedEfficiency: 1.1 }).reasons[1]!.text).toMatch(/discharge is colder/);
    expect(draft().reasons[0]!.quantities.share!.value).toBe(0.4);
    expect([draft().firstSeen_s, draft().lastSeen_s]).toEqual([20, 50]);
  });
});
