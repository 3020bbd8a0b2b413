import type { Cause, Urgency } from '@coldrounds/core';
import { describe, expect, it } from 'vitest';
import { mergeScores } from './merge-scores.js';
import { names } from './right-causes.js';
import type { CaseResult, Stated } from './run-case.js';
import { calibrationOf, confusionsOf, foundOf, tallyHealthy, tallyOf } from './tally.js';
import { testUnit } from './test-fleet.js';

const unit = testUnit(1, 0);
const said = (cause: Cause, right: boolean, weight = 0.8, urgency: Urgency = 'this-week'): Stated => ({
  cause,
  right,
  weight,
  urgency,
  subject: { kind: 'circuit', circuit: 1 },
});
const result = (stated: Stated[], days: number | null = null, learned = true): CaseResult => ({
  unit,
  faults: [{ kind: 'gas-in-circuit', share: 0.02, circuit: 1 }],
  learned,
  stated,
  named: [stated.some(({ right }) => right)],
  days,
});

describe('the tally of cases', () => {
  it('gives each case one outcome, by what is said first', () => {
    const tally = tallyOf([
      result([said('gas-in-circuit', true), said('condenser-fouled', false)], 1),
      result([said('condenser-fouled', false), said('gas-in-circuit', true)], 4),
      result([said('condenser-fouled', false, 0.4, 'watch')]),
      result([]),
      result([], null, false),
    ]);
    expect(tally).toEqual({
      cases: 5,
      correct: 1,
      misdiagnosed: 2,
      misdiagnosedAboveWatch: 1,
      missed: 1,
      noResponse: 1,
      days: [1, 4],
    });
    expect(foundOf(tally)).toBe(3);
  });

  it('counts every diagnosis of a unit with nothing wrong, above watch apart, and unit-months of 30.4 days', () => {
    const tally = tallyHealthy(
      [
        {
          unit,
          stated: [said('gas-in-circuit', false), said('valve-offset', false, 0.3, 'watch')],
          normal: null,
        },
        { unit, stated: [], normal: null },
      ],
      15.2,
    );
    expect(tally).toMatchObject({ units: 2, unitMonths: 1, aboveWatch: 1, watch: 1 });
    expect(tally.said).toHaveLength(2);
  });

  it('puts each stated likelihood into one band, with how often it was right', () => {
    const bands = calibrationOf([
      said('gas-in-circuit', true, 1),
      said('gas-in-circuit', false, 0.96),
      said('gas-in-circuit', true, 0.5),
    ]);
    expect(bands.reduce((sum, { count }) => sum + count, 0)).toBe(3);
    expect(bands.at(-1)).toMatchObject({ count: 2, stated: 0.98, right: 0.5 });
    expect(bands.find(({ from }) => from === 0.5)).toMatchObject({ count: 1, right: 1 });
  });

  it('lists what was said first instead of the fault, most frequent first', () => {
    const row = (severity: 'slight' | 'heavy', results: CaseResult[]) => ({
      fault: 'gas',
      severity,
      results,
    });
    expect(
      confusionsOf([
        row('slight', [result([said('sensor-wrong', false)]), result([said('gas-in-circuit', true)])]),
        row('heavy', [result([said('sensor-wrong', false)]), result([said('valve-offset', false)])]),
      ]),
    ).toEqual([
      { fault: 'gas', said: 'sensor-wrong', severities: { slight: 1, medium: 0, heavy: 1 }, count: 2 },
      { fault: 'gas', said: 'valve-offset', severities: { slight: 0, medium: 0, heavy: 1 }, count: 1 },
    ]);
  });
});

describe('parts of a run', () => {
  it('are put together fault by fault, with all their seeds, and count a case once that two of them ran', () => {
    const part = (seed: number, fault: string) => ({
      seeds: [seed],
      healthy: [{ unit: testUnit(seed, 0), stated: [], normal: null }],
      rows: [{ fault, severity: 'slight' as const, results: [{ ...result([]), unit: testUnit(seed, 0) }] }],
      slow: [],
      pairs: [],
    });
    const merged = mergeScores([part(1, 'gas'), part(2, 'gas'), part(2, 'flow'), part(1, 'gas')]);
    expect(merged.seeds).toEqual([1, 2]);
    expect(merged.healthy).toHaveLength(2);
    expect(merged.rows.map(({ fault, results }) => [fault, results.length])).toEqual([
      ['gas', 2],
      ['flow', 1],
    ]);
  });
});

describe('a diagnosis names a fault', () => {
  const circuit = (number: number) => ({ kind: 'circuit', circuit: number }) as const;
  const bias = { kind: 'sensor-bias', sensor: 'suction-temperature', bias: 2, circuit: 1 } as const;

  it('by its cause and on the circuit that has it', () => {
    const gas = { kind: 'gas-in-circuit', share: 0.02, circuit: 1 } as const;
    expect(names(gas, { cause: 'gas-in-circuit', subject: circuit(1) })).toBe(true);
    expect(names(gas, { cause: 'gas-in-circuit', subject: circuit(2) })).toBe(false);
    expect(names(gas, { cause: 'condenser-fouled', subject: circuit(1) })).toBe(false);
    expect(
      names(
        { kind: 'condenser-fouling', share: 0.2 },
        { cause: 'condenser-fouled', subject: { kind: 'unit' } },
      ),
    ).toBe(true);
  });

  it('by the sensor that reads wrong, where it says which', () => {
    const sensor = (name: string) => ({ kind: 'sensor', circuit: 1, sensor: name }) as const;
    expect(names(bias, { cause: 'sensor-wrong', subject: sensor('suction-temperature') })).toBe(true);
    expect(names(bias, { cause: 'sensor-wrong', subject: sensor('discharge-pressure') })).toBe(false);
    expect(names(bias, { cause: 'sensor-wrong', subject: circuit(1) })).toBe(true);
  });

  it('never where the fault is a clock that drifts', () => {
    const drift = { kind: 'clock-drift', perDay_s: 60 } as const;
    expect(names(drift, { cause: 'something-else', subject: circuit(1) })).toBe(false);
  });
});
