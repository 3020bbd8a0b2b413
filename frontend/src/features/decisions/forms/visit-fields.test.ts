import { describe, expect, it } from 'vitest';
import { emptyVisit, siOf, visitOf } from './visit-fields.js';

describe('values typed on a visit', () => {
  it('are taken in the units that the reader has chosen', () => {
    expect(siOf('suction-temperature', '6,5', 'si')).toBeCloseTo(279.65, 9);
    expect(siOf('suction-pressure', '2.5', 'si')).toBeCloseTo(250_000, 6);
    // PUBLISHED: NIST SP 811: 1 psi is 6894.757 Pa; 50 °F are 10 °C.
    expect(siOf('suction-pressure', '10', 'inch-pound')).toBeCloseTo(68_947.57, 1);
    expect(siOf('liquid-temperature', '50', 'inch-pound')).toBeCloseTo(283.15, 9);
    expect(siOf('liquid-temperature', 'warm', 'si')).toBeNull();
    expect(siOf('liquid-temperature', '', 'si')).toBeNull();
  });

  it('are sent with what was seen, or what is missing is said', () => {
    expect(visitOf(emptyVisit, 'si')).toMatch(/Say what the visit found/);
    expect(visitOf({ ...emptyVisit, seen: 'other' }, 'si')).toMatch(/in words/);
    const reading = {
      circuit: 1,
      quantity: 'suction-pressure' as const,
      value: '2,5',
      at: '2026-03-02T10:00',
    };
    expect(
      visitOf({ ...emptyVisit, seen: 'valve-friction', parts: 'motor, seal;', readings: [reading] }, 'si'),
    ).toEqual({
      seen: { kind: 'cause', cause: 'valve-friction' },
      parts: ['motor', 'seal'],
      readings: [
        {
          ...{ circuit: 1, quantity: 'suction-pressure', value: 250_000, reference: 'gauge' },
          at_s: Date.parse('2026-03-02T10:00') / 1000,
        },
      ],
    });
    expect(visitOf({ ...emptyVisit, seen: 'nothing', readings: [{ ...reading, value: 'x' }] }, 'si')).toMatch(
      /no value/,
    );
  });
});
