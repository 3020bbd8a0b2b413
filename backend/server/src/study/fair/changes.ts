import type { FleetUnit } from '../../registry/fleet.js';

export const changeKinds = ['firmware', 'valve', 'visit'] as const;
export type ChangeKind = (typeof changeKinds)[number];

/** A change of a circuit, by the registry's history or a visit. */
export interface CircuitChange {
  circuitId: number;
  at_s: number;
  /** What it became: the new firmware or valve size, or the cause that the visit found. */
  word: string;
}

/** A document of the registry as it was before or after a change; only what is looked at here. */
interface UnitDocument {
  controllerFirmware?: string;
  circuits?: { number: number; valve?: { size?: string; kv_m3_h?: number } }[];
}

export interface RegistryStep {
  unitId: number;
  at_s: number;
  before: UnitDocument;
  after: UnitDocument;
}

export interface VisitClosed {
  unitId: number;
  at_s: number;
  circuit: number | null;
  cause: string;
}

/** Changes of controller firmware, told of every circuit of the unit. */
export const firmwareChanges = (
  units: readonly FleetUnit[],
  steps: readonly RegistryStep[],
): CircuitChange[] =>
  onUnits(units, steps, ({ before, after }, unit) => {
    const word = after.controllerFirmware;
    if (word === undefined || word === before.controllerFirmware) return [];
    return unit.circuits.map(({ id }) => ({ circuitId: id, word }));
  });

/** Changes of a circuit's valve. */
export const valveChanges = (units: readonly FleetUnit[], steps: readonly RegistryStep[]): CircuitChange[] =>
  onUnits(units, steps, ({ before, after }, unit) =>
    unit.circuits.flatMap(({ id, number }) => {
      const [was, is] = [before, after].map(
        ({ circuits }) => circuits?.find((each) => each.number === number)?.valve,
      );
      if (is?.size === undefined || was === undefined) return [];
      return was.size === is.size && was.kv_m3_h === is.kv_m3_h ? [] : [{ circuitId: id, word: is.size }];
    }),
  );

/** Visits that found a cause: on one circuit, or on all of the unit. */
export const visits = (units: readonly FleetUnit[], closed: readonly VisitClosed[]): CircuitChange[] =>
  onUnits(units, closed, ({ circuit, cause }, unit) =>
    unit.circuits
      .filter(({ number }) => circuit === null || circuit === number)
      .map(({ id }) => ({ circuitId: id, word: cause })),
  );

function onUnits<Step extends { unitId: number; at_s: number }>(
  units: readonly FleetUnit[],
  steps: readonly Step[],
  of: (step: Step, unit: FleetUnit) => { circuitId: number; word: string }[],
): CircuitChange[] {
  const byId = new Map(units.map((unit) => [unit.id, unit]));
  return steps.flatMap((step) => {
    const unit = byId.get(step.unitId);
    return unit === undefined ? [] : of(step, unit).map((each) => ({ ...each, at_s: step.at_s }));
  });
}
