import type { Cause, Diagnosis, Finding } from '@coldrounds/core';
import type { Fault, FaultKind } from '@coldrounds/simulator';

/** The cause that names each simulated fault; null where no diagnosis can: it must then only not be taken for another. */
const causeOf: Partial<Record<FaultKind, Cause | null>> = {
  'gas-in-circuit': 'gas-in-circuit',
  overcharge: 'excess-refrigerant',
  undercharge: 'missing-refrigerant',
  'condenser-fouling': 'condenser-fouled',
  'condenser-flow-low': 'condenser-flow-low',
  'evaporator-fouling': 'evaporator-fouled',
  'evaporator-flow-low': 'evaporator-flow-low',
  'liquid-line-restriction': 'liquid-line-restricted',
  'compressor-leakage': 'compressor-weak',
  'valve-leaks-by': 'valve-leaks-by',
  'valve-offset': 'valve-offset',
  'tandem-mismatch': 'tandem-mismatch',
  'valve-friction': 'valve-friction',
  'valve-too-large': 'valve-too-large',
  'loop-tuned-too-hard': 'loop-tuned-too-hard',
  setpoint: 'setpoint-under-steady-floor',
  'load-swing': 'load-swings',
  'circuits-disturbing': 'circuits-disturb-each-other',
  'sensor-bias': 'sensor-wrong',
  'measurement-noise': 'measurement-noise',
  'sensors-swapped-between-circuits': 'sensors-swapped',
  'clock-drift': null,
};

export function rightCause({ kind }: Fault): Cause | null {
  const cause = causeOf[kind];
  if (cause === undefined) throw new Error(`no cause is known for the fault ${kind}`);
  return cause;
}

/** Whether a diagnosis names a fault: its cause, and the circuit or sensor that has it. */
export function names(fault: Fault, { cause, subject }: Pick<Diagnosis, 'cause' | 'subject'>): boolean {
  if (cause !== rightCause(fault)) return false;
  if (subject.kind === 'sensor' && fault.kind === 'sensor-bias' && subject.sensor !== fault.sensor)
    return false;
  const circuit = subject.kind === 'circuit' || subject.kind === 'sensor' ? subject.circuit : undefined;
  return fault.circuit === undefined || circuit === undefined || circuit === fault.circuit;
}

/** A drifting clock is told by a finding of its own, not by a cause. */
export const clockFinding = (findings: readonly Finding[]): boolean =>
  findings.some(({ condition }) => condition.includes('clock'));
