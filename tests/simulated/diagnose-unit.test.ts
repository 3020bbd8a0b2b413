import {
  circuitSeriesColumns,
  diagnoseUnit,
  emptyCircuitSeries,
  type Cause,
  type CircuitSeries,
  type UnitEntry,
  type UnitNormal,
} from '@coldrounds/core';
import { simulateCircuit, type CircuitCase, type Fault } from '@coldrounds/simulator';
import { describe, expect, it } from 'vitest';
import { randomChiller, standDay } from './water-cooled-chiller.js';

/** Two records one after the other, the second moved to begin 10 min after the first. */
function joined(first: CircuitSeries, second: CircuitSeries): CircuitSeries {
  const n = first.time_s.length;
  const out = emptyCircuitSeries(n + second.time_s.length);
  const shift = first.time_s[n - 1] + 600 - second.time_s[0];
  out.time_s.set(first.time_s);
  out.time_s.set(
    second.time_s.map((time) => time + shift),
    n,
  );
  for (const name of circuitSeriesColumns) {
    out[name].set(first[name]);
    out[name].set(second[name], n);
  }
  return out;
}

const simulated = (input: CircuitCase) => {
  const { unit, series, neighbours } = simulateCircuit(input);
  return diagnoseUnit({ unit, altitude_m: 0, circuits: [series, ...neighbours] });
};

describe('one diagnosis of a unit on a valve', () => {
  it('is none above watch for healthy units over a week', () => {
    for (const [seed, condenser] of [
      [21, 'water'],
      [22, 'air'],
      [23, 'water'],
    ] as const) {
      const { diagnoses, normal } = simulated({ seed, days: 7, condenser });
      expect(diagnoses.filter(({ urgency }) => urgency !== 'watch')).toEqual([]);
      expect(normal).not.toBeNull();
    }
  });

  it('is the loop tuned too hard, with the hunting beneath it', () => {
    const { diagnoses, findings } = simulated({
      seed: 31,
      days: 3,
      faults: [{ kind: 'loop-tuned-too-hard' }],
    });
    expect(diagnoses[0].cause).toBe('loop-tuned-too-hard');
    expect(diagnoses[0].symptoms.map(({ condition }) => condition)).toContain('hunting');
    expect(diagnoses[0].rivals[0].weight).toBeLessThan(diagnoses[0].weight);
    expect(diagnoses[0].separatingCheck).not.toBeNull();
    expect(findings.length).toBeGreaterThanOrEqual(diagnoses.length);
  });

  it('is the wrong sensor, named once', () => {
    const { diagnoses } = simulated({
      seed: 41,
      days: 3,
      faults: [{ kind: 'sensor-bias', sensor: 'suction-temperature', bias: 4 }],
    });
    expect(diagnoses[0]).toMatchObject({
      cause: 'sensor-wrong',
      subject: { kind: 'sensor', circuit: 1, sensor: 'suction-temperature' },
    });
    expect(diagnoses.filter(({ cause }) => cause === 'sensor-wrong')).toHaveLength(1);
  });

  it.each([
    ['missing-refrigerant', { kind: 'undercharge', share: 0.2, sinceDaysAgo: 4 }],
    ['valve-offset', { kind: 'lost-steps', offset_pct: 8, stick_pct: 0, sinceDaysAgo: 4 }],
  ] as [Cause, Fault][])('is %s, told from the days before it began', (cause, fault) => {
    const { diagnoses } = simulated({ seed: 61, days: 12, faults: [fault] });
    expect(diagnoses[0].cause).toBe(cause);
    expect(diagnoses[0].symptoms[0].condition).toBe('departs-from-normal');
    expect(diagnoses).toHaveLength(1);
  });

  it('is one line for a registry that has another refrigerant', () => {
    const { diagnoses } = simulated({
      seed: 51,
      days: 3,
      faults: [{ kind: 'wrong-refrigerant', actual: 'R513A' }],
    });
    expect(diagnoses.filter(({ cause }) => cause === 'registry-wrong')).toHaveLength(1);
  });
});

describe('one diagnosis of a flooded chiller without a valve', () => {
  const chiller = randomChiller(7);
  const habits = { step_s: 20 };
  const normalDay = standDay(chiller, 700, {}, habits);
  const gasDay = standDay(chiller, 701, { gas: 0.015 }, habits);
  const { unit: entry } = simulateCircuit({ seed: 1, days: 0.1, refrigerant: chiller.refrigerant });
  const unit: UnitEntry = { ...entry, refrigerant: chiller.refrigerant, evaporator: 'flooded' };
  const diagnose = (series: CircuitSeries, normal?: UnitNormal | null, until_s?: number) =>
    diagnoseUnit({
      unit,
      altitude_m: 0,
      circuits: [series],
      ...(normal === undefined ? {} : { normal }),
      ...(until_s === undefined ? {} : { until_s }),
    });
  const ofNormal = (result: ReturnType<typeof diagnose>) =>
    result.diagnoses.filter(({ symptoms }) =>
      symptoms.some(({ condition }) => condition === 'departs-from-normal'),
    );

  it('learns its normal from a day, and against it names gas in the circuit', () => {
    const { normal } = diagnose(normalDay);
    expect(normal!.circuits[0].normal.plateaus).toBeGreaterThan(20);
    const [gas, ...others] = ofNormal(diagnose(gasDay, normal));
    expect(others).toEqual([]);
    expect(gas.cause).toBe('gas-in-circuit');
    const [symptom] = gas.symptoms;
    expect(symptom.headline.text).toMatch(/approach|Subcooling|power|[Dd]ischarge/);
    expect(symptom.reasons.length).toBeGreaterThan(1);
  });

  it('says the same from a normal that was stored as JSON', () => {
    const { normal } = diagnose(normalDay);
    const stored = JSON.parse(JSON.stringify(normal)) as UnitNormal;
    expect(diagnose(gasDay, stored)).toEqual(diagnose(gasDay, normal));
  });

  it('departs in nothing on another normal day', () => {
    const { normal } = diagnose(normalDay);
    expect(ofNormal(diagnose(standDay(chiller, 702, {}, habits), normal))).toEqual([]);
  });

  it('learns from the first part of one record, and sees nothing before the fault', () => {
    const both = joined(normalDay, gasDay);
    expect(ofNormal(diagnose(both))[0]?.cause).toBe('gas-in-circuit');
    const end_s = normalDay.time_s[normalDay.time_s.length - 1];
    expect(ofNormal(diagnose(both, undefined, end_s))).toEqual([]);
  });

  it('refuses series that do not match the circuits, by name', () => {
    expect(() => diagnoseUnit({ unit, altitude_m: 0, circuits: [] })).toThrow(/^circuits has 0 series for 1/);
  });
});
