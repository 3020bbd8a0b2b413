import { saturationPressure, saturationTemperature, type Finding } from '@coldrounds/core';
import { simulateCircuit, type CircuitCase } from '@coldrounds/simulator';
import { findingsOf } from './assess-unit.js';
import { joined, unitCase } from './site-units.js';

/** Whether a wrong registry is found on units that stop for only six minutes a day, and is said of none that is right. */
export interface RegistryScore {
  units: number;
  found: number;
  missed: string[];
  healthy: number;
  falsely: string[];
}

const shortStops = (unit: number): Partial<CircuitCase> => ({
  selfTest: false,
  stand: { kind: 'daily-rest', from_h: unit % 24, hours: 0.1 },
});

/** Refrigerants that the simulator can charge. */
const charged = ['R134a', 'R1234ze(E)', 'R513A', 'R32', 'R410A', 'R454B', 'R407C'];

/** Those that lie 3 to 30 K away at the pressure of an evaporator: closer ones no pressure can tell apart, others no unit runs with. */
function othersThan(registered: string): string[] {
  const pressure_Pa = saturationPressure(registered, 276.15, 'dew');
  return charged.filter((name) => {
    const off_K = Math.abs(saturationTemperature(name, pressure_Pa, 'dew') - 276.15);
    return off_K >= 3 && off_K <= 30;
  });
}

const named = (condition: string) => (finding: Finding) => finding.condition === condition;
const registryConditions = ['gauge-taken-for-absolute', 'wrong-refrigerant'];

/** Gauge and absolute mixed up, and another refrigerant in the circuit, in turn; two days each. */
export function scoreRegistry({
  seed,
  units,
  healthy,
}: {
  seed: number;
  units: number;
  healthy: number;
}): RegistryScore {
  const score: RegistryScore = { units, found: 0, missed: [], healthy, falsely: [] };
  for (let unit = 0; unit < units; unit++) {
    const base = joined(unitCase(seed, unit, 2), shortStops(unit));
    const others = othersThan(base.refrigerant!);
    const reference = unit % 2 === 0 || others.length === 0;
    const actual = others[Math.floor(unit / 2) % Math.max(1, others.length)];
    const findings = findingsOf(
      simulateCircuit(
        joined(base, {
          faults: [
            reference
              ? { kind: 'gauge-taken-for-absolute', sensor: 'suction-pressure' }
              : { kind: 'wrong-refrigerant', actual: actual! },
          ],
        }),
      ),
    );
    if (findings.some(named(reference ? 'gauge-taken-for-absolute' : 'wrong-refrigerant'))) score.found++;
    else
      score.missed.push(
        `unit ${unit}: ${base.refrigerant} registered, ${reference ? 'gauge for absolute' : `${actual} charged`}: ${findings.map(({ condition }) => condition).join(', ') || 'nothing said'}`,
      );
  }
  for (let unit = 0; unit < healthy; unit++) {
    const findings = findingsOf(
      simulateCircuit(joined(unitCase(seed + 1000, unit, 7), shortStops(unit))),
    ).filter(({ condition }) => registryConditions.includes(condition));
    score.falsely.push(...findings.map(({ condition }) => `unit ${unit}: ${condition}`));
  }
  return score;
}
