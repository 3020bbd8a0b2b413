import { describe, expect, it } from 'vitest';
import { circuit } from '../../steadiness/sample-circuit.js';
import { ArgumentError } from '../../units/index.js';
import type { CircuitSeries } from '../../telemetry/circuit-series.js';
import type { UnitEntry } from '../../telemetry/registry.js';
import { urgencies } from '../finding.js';
import { saturated } from '../causes/sample-channels.js';
import { diagnoseUnit, type DiagnoseUnitInput } from './diagnose-unit.js';
import { runningCircuit } from './sample-running.js';

const unit: UnitEntry = {
  key: 'u1',
  name: 'Unit 1',
  refrigerant: 'R134a',
  nominalCapacity_W: 420_000,
  condenser: 'water',
  commissionedOn: '2020-01-01',
  controllerFirmware: '1',
  circuits: [circuit],
  modules: [],
};
const two: UnitEntry = { ...unit, circuits: [circuit, { ...circuit, number: 2 }] };
const diagnose = (series: CircuitSeries[], of = unit, change: Partial<DiagnoseUnitInput> = {}) =>
  diagnoseUnit({ unit: of, altitude_m: 0, circuits: series, ...change });

/** Two days of normal running, then two with condensing so many kelvins higher. */
const fouledLater = (kelvin: number) =>
  runningCircuit(96, (series, i, hour) => {
    if (hour < 64) return;
    const condensing = series.liquidTemperature_K[i]! + 5;
    series.dischargePressure_Pa[i] = saturated(condensing + kelvin);
    series.liquidTemperature_K[i]! += 0.85 * kelvin;
    series.dischargeTemperature_K[i]! += 1.3 * kelvin;
    series.compressorPower_W[i]! *= 1 + kelvin / 30;
  });
const steady = runningCircuit(96);
const fouled = fouledLater(2);

describe('a unit diagnosed from its series', () => {
  it('has nothing wrong where nothing changed, and its normal learned', () => {
    const found = diagnose([steady]);
    expect(found.diagnoses.filter(({ cause }) => cause.startsWith('condenser'))).toEqual([]);
    expect(found.findings.map(({ condition }) => condition)).not.toContain('departs-from-normal');
    expect(found.normal).toMatchObject({ refrigerant: 'R134a', circuits: [{ circuit: 1 }] });
  });

  it('has a condenser that condenses higher than it did, with what shows it', () => {
    const found = diagnose([fouled]);
    const departs = found.findings.find(({ condition }) => condition === 'departs-from-normal')!;
    expect(departs.subject).toEqual({ kind: 'circuit', circuit: 1 });
    // From hour 64, or up to twelve plateaus before: each is looked at with its neighbours, too.
    expect(departs.firstSeen_s).toBeGreaterThanOrEqual(1_700_006_400 + 40 * 3600);
    const diagnosis = found.diagnoses.find(({ symptoms }) => symptoms.includes(departs))!;
    expect(diagnosis.cause).toBe('condenser-fouled');
    expect(diagnosis.subject).toEqual({ kind: 'circuit', circuit: 1 });
    expect(diagnosis.urgency).toBe(departs.urgency);
    expect(diagnosis.weight).toBeGreaterThan(0.5);
    expect(diagnosis.rivals.every(({ weight }) => weight >= 0.02)).toBe(true);
    expect(diagnosis.certainty).toBe(diagnosis.weight >= 0.9 ? 'certain' : 'likely');
  });

  it('comes most urgent first, then likeliest first', () => {
    const { diagnoses } = diagnose([fouled, steady], two);
    const order = diagnoses.map(({ urgency, weight }) => 10 * urgencies.indexOf(urgency) - weight);
    expect([...order].sort((a, b) => a - b)).toEqual(order);
  });

  it('says once, on the unit, what both circuits show, and on the circuit what one shows', () => {
    const both = diagnose([fouled, fouled], two).diagnoses.filter(
      ({ cause }) => cause === 'condenser-fouled',
    );
    expect(both).toHaveLength(1);
    expect(both[0]!.subject).toEqual({ kind: 'unit' });
    const departing = both[0]!.symptoms.filter(({ condition }) => condition === 'departs-from-normal');
    expect(departing.map(({ subject }) => subject)).toEqual([
      { kind: 'circuit', circuit: 1 },
      { kind: 'circuit', circuit: 2 },
    ]);
    const one = diagnose([steady, fouled], two).diagnoses.filter(({ cause }) => cause === 'condenser-fouled');
    expect(one.map(({ subject }) => subject)).toEqual([{ kind: 'circuit', circuit: 2 }]);
  });

  it('is not looked at from `until_s` on', () => {
    const before = diagnose([fouled], unit, { until_s: 1_700_006_400 + 64 * 3600 });
    expect(before.findings.map(({ condition }) => condition)).not.toContain('departs-from-normal');
    expect(before.normal!.circuits[0]!.normal.to_s).toBeLessThanOrEqual(1_700_006_400 + 64 * 3600);
  });

  it('is compared with a normal that is given, of the same refrigerant', () => {
    const { normal } = diagnose([steady]);
    const late = runningCircuit(96, (series, i) => {
      const condensing = series.liquidTemperature_K[i]! + 5;
      series.dischargePressure_Pa[i] = saturated(condensing + 2);
      series.liquidTemperature_K[i]! += 1.7;
    });
    const conditions = (given: DiagnoseUnitInput['normal']) =>
      diagnose([late], unit, { normal: given }).findings.map(({ condition }) => condition);
    expect(conditions(normal)).toContain('departs-from-normal');
    expect(diagnose([late], unit, { normal }).normal).toEqual(normal);
    // By itself it is steady; so it is where what is given is of another refrigerant, or of another circuit.
    expect(conditions(null)).not.toContain('departs-from-normal');
    expect(conditions({ ...normal!, refrigerant: 'R32' })).not.toContain('departs-from-normal');
    expect(conditions({ ...normal!, circuits: [{ ...normal!.circuits[0]!, circuit: 2 }] })).not.toContain(
      'departs-from-normal',
    );
  });

  it('has no normal, and nothing wrong, of too little or no data', () => {
    const none = runningCircuit(0);
    expect(diagnose([none])).toMatchObject({ normal: null, findings: [], diagnoses: [] });
    expect(diagnose([runningCircuit(1)]).normal).toBeNull();
    expect(diagnose([steady, none], two).normal!.circuits.map(({ circuit: number }) => number)).toEqual([1]);
  });

  it('has one series for each circuit', () => {
    expect(() => diagnose([steady], two)).toThrow(ArgumentError);
    expect(() => diagnose([steady, steady])).toThrow(ArgumentError);
  });

  it('has the sensor as the subject of swapped transducers, certainly and today', () => {
    const swapped = runningCircuit(24, (series, i) => {
      const suction_Pa = series.suctionPressure_Pa[i]!;
      series.suctionPressure_Pa[i] = series.dischargePressure_Pa[i]!;
      series.dischargePressure_Pa[i] = suction_Pa;
    });
    const found = diagnose([swapped]).diagnoses.find(({ cause }) => cause === 'sensors-swapped')!;
    expect(found.subject).toEqual({ kind: 'sensor', circuit: 1, sensor: 'suction-pressure' });
    expect(found).toMatchObject({ certainty: 'certain', urgency: 'today' });
    expect(found.symptoms[0]!.condition).toBe('transducers-swapped');
  });

  it('has too little condenser water on the unit, though one circuit shows it', () => {
    // A fifth less flow, a quarter more warming: by effectiveness-NTU at 5 K of change and 3 K of approach, with a
    // conductance of 0.91, condensing rises by 0.26 of the warming.
    const slow = runningCircuit(96, (series, i, hour) => {
      if (hour < 64) return;
      const rise = series.condenserLeavingTemperature_K[i]! - series.condenserEnteringTemperature_K[i]!;
      series.condenserFlow_m3_s[i]! *= 0.8;
      series.condenserLeavingTemperature_K[i]! += rise / 4;
      const condensing = series.liquidTemperature_K[i]! + 5 + 0.26 * rise;
      series.dischargePressure_Pa[i] = saturated(condensing);
      series.liquidTemperature_K[i] = condensing - 5;
      series.dischargeTemperature_K[i]! += 0.3 * rise;
      series.compressorPower_W[i]! *= 1 + (0.26 * rise) / 30;
    });
    const found = diagnose([slow]).diagnoses.find(({ cause }) => cause === 'condenser-flow-low')!;
    expect(found.subject).toEqual({ kind: 'unit' });
    expect(found.urgency).toBe('this-week');
  });
});
