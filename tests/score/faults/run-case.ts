import { diagnoseUnit, type Diagnosis, type UnitNormal } from '@coldrounds/core';
import { simulateCircuit, type Fault } from '@coldrounds/simulator';
import { clockFinding, names } from './right-causes.js';
import type { TestUnit } from './test-fleet.js';

export const normalDays = 14;
export const faultDays = 7;
/** Normal days before the onset that the judged record still has: what a circuit did at rest is compared with them. */
const daysBefore = 5;
const day_s = 86_400;
/** Days after the onset at whose end the record is judged, to see when the fault is first found. */
const looks = [1, 3, faultDays];

/** What a diagnosis says, without its evidence. */
export type Stated = Pick<Diagnosis, 'cause' | 'weight' | 'urgency' | 'subject'> & {
  /** Whether its cause is a fault that was put in. */
  right: boolean;
};

export interface CaseResult {
  unit: TestUnit;
  faults: Fault[];
  /** Whether there was a normal to compare with. */
  learned: boolean;
  /** The diagnoses after seven days, most urgent first. */
  stated: Stated[];
  /** For each fault, whether any diagnosis names it. */
  named: boolean[];
  /** Days from the onset until the right cause was first, null where it never was. */
  days: number | null;
}

/** A unit that has nothing wrong: its record of 21 days judged against its own first 14, and what it learned. */
export interface HealthyResult {
  unit: TestUnit;
  stated: Stated[];
  normal: UnitNormal | null;
}

/** Simulates and judges a unit in which nothing is wrong. */
export function runHealthy(unit: TestUnit): HealthyResult {
  const simulated = simulateCircuit({ ...unit.case, days: normalDays + faultDays });
  const { diagnoses, normal } = diagnoseUnit({
    unit: simulated.unit,
    altitude_m: 100,
    circuits: [simulated.series, ...simulated.neighbours],
  });
  return { unit, stated: diagnoses.map((one) => stated(one, [])), normal };
}

/**
 * Simulates a unit from five days before the onset of faults to seven days after, and judges it against its normal. Readings
 * are 10 s apart.
 * @param normal what the unit learned in the 14 days before; null: it never ran without the fault, or learned nothing
 */
export function runFaulty(unit: TestUnit, faults: readonly Fault[], normal: UnitNormal | null): CaseResult {
  const begun = faults.map((fault) => ({ ...fault, sinceDaysAgo: faultDays }));
  const onset_s = unit.case.start_s! + normalDays * day_s;
  const simulated = simulateCircuit({
    ...unit.case,
    start_s: onset_s - daysBefore * day_s,
    days: daysBefore + faultDays,
    faults: begun,
  });
  const circuits = [simulated.series, ...simulated.neighbours];
  const judged = (days: number) => {
    const { diagnoses, findings } = diagnoseUnit({
      unit: simulated.unit,
      altitude_m: 100,
      circuits,
      ...(normal === null ? {} : { normal }),
      until_s: onset_s + days * day_s,
    });
    return { stated: diagnoses.map((one) => stated(one, begun)), clock: clockFinding(findings) };
  };
  const last = judged(faultDays);
  return {
    unit,
    faults: begun,
    learned: normal !== null,
    stated: last.stated,
    named: begun.map((fault) =>
      fault.kind === 'clock-drift' ? last.clock : last.stated.some((one) => names(fault, one)),
    ),
    days:
      looks.find((days) => {
        const { stated: said, clock } = days === faultDays ? last : judged(days);
        return said.length > 0 ? said[0]!.right : clock && begun.some(({ kind }) => kind === 'clock-drift');
      }) ?? null,
  };
}

const stated = ({ cause, weight, urgency, subject }: Diagnosis, faults: readonly Fault[]): Stated => ({
  cause,
  weight,
  urgency,
  subject,
  right: faults.some((fault) => names(fault, { cause, subject })),
});
