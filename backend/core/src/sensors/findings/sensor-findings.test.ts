import { describe, expect, it } from 'vitest';
import { statement } from '../../diagnosis/statement.js';
import type { SensorName } from '../standstill/thermal-consensus.js';
import { findingOf, type SensorDraft } from './sensor-findings.js';

const draft = (sensor: SensorName, changed: Partial<SensorDraft> = {}): SensorDraft => ({
  condition: 'sensor-bias',
  sensor,
  headline: statement('It reads too high.'),
  reasons: [],
  certainty: 'likely',
  urgency: 'next-visit',
  score: 20,
  separatingCheck: null,
  visit: [],
  firstSeen_s: 100,
  lastSeen_s: 200,
  ...changed,
});

describe('a finding of a sensor', () => {
  it('is of that sensor of its circuit, over the time in which it was seen', () => {
    expect(findingOf(2, draft('liquid-temperature'), [])).toMatchObject({
      condition: 'sensor-bias',
      subject: { kind: 'sensor', circuit: 2, sensor: 'liquid-temperature' },
      firstSeen_s: 100,
      lastSeen_s: 200,
    });
  });

  it('of a transducer, which sits on the refrigerant, has its pressure and hazards with it; a pipe sensor has not', () => {
    const hazards = (sensor: SensorName) => findingOf(1, draft(sensor), ['flammable']).hazards;
    for (const side of ['suction', 'discharge'] as const) {
      expect(hazards(`${side}-pressure`)).toEqual(['pressure', 'flammable', 'live-parts', 'rotating-parts']);
      expect(hazards(`${side}-temperature`)).toEqual(['live-parts', 'rotating-parts']);
    }
  });

  it('makes superheat wrong on the suction side and subcooling on the other, unless the draft says what waiting costs', () => {
    const waiting = (...of: Parameters<typeof draft>) => findingOf(1, draft(...of), []).waiting.sentence.text;
    expect(waiting('suction-temperature')).toMatch(/superheat/);
    expect(waiting('suction-pressure')).toMatch(/superheat/);
    expect(waiting('discharge-pressure')).toMatch(/condensing temperature and subcooling/);
    expect(waiting('suction-pressure', { waiting: statement('It floods back.') })).toBe('It floods back.');
  });
});
