import type { FleetUnit } from '../../registry/fleet.js';

export const changeKinds = ['firmware', 'setpoint', 'valve', 'registry', 'part', 'visit'] as const;
export type ChangeKind = (typeof changeKinds)[number];

/** A change of a circuit, by the registry's history or a visit. */
export interface CircuitChange {
  circuitId: number;
  at_s: number;
  /**
   * What it became: the new firmware or valve size, a setpoint `raised` or `lowered`, the entry of the registry that is
   * another, the part that a visit changed, or the cause that it found.
   */
  word: string;
}

/** A document of the registry as it was before or after a change; only what is looked at here. */
interface UnitDocument {
  controllerFirmware?: string;
  circuits?: CircuitDocument[];
}

interface CircuitDocument {
  number: number;
  valve?: { size?: string; kv_m3_h?: number };
}

export interface RegistryStep {
  unitId: number;
  at_s: number;
  before: UnitDocument;
  after: UnitDocument;
}

export interface PartChanged {
  unitId: number;
  at_s: number;
  circuit: number | null;
  part: string;
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

/** Entries that say nothing of how a circuit runs, and those that hold others. */
const passedOver = ['key', 'name', 'number', 'assumed', 'sparkplug', 'circuits', 'modules'];

/** Entries of a document that differ, by their names in words. */
function differing(before: object, after: object): string[] {
  const [was, is] = [before, after].map((document) => new Map<string, unknown>(Object.entries(document)));
  const told = (value: unknown) => JSON.stringify(value ?? null);
  return [...new Set([...was!.keys(), ...is!.keys()])]
    .filter((name) => !passedOver.includes(name) && told(was!.get(name)) !== told(is!.get(name)))
    .map((name) => name.replace(/_.*$/, '').replace(/[A-Z]/g, (letter) => ` ${letter.toLowerCase()}`));
}

/** Changes of any entry of the registry: of the unit, told of every circuit, or of a circuit. */
export const registryChanges = (
  units: readonly FleetUnit[],
  steps: readonly RegistryStep[],
): CircuitChange[] =>
  onUnits(units, steps, ({ before, after }, unit) => {
    const ofUnit = differing(before, after);
    return unit.circuits.flatMap(({ id, number }) => {
      const [was, is] = [before, after].map(({ circuits }) =>
        circuits?.find((each) => each.number === number),
      );
      const own = was === undefined || is === undefined ? [] : differing(was, is);
      return [...ofUnit, ...own].map((word) => ({ circuitId: id, word }));
    });
  });

/** Parts that visits changed: on one circuit, or on all of the unit. */
export const partChanges = (units: readonly FleetUnit[], changed: readonly PartChanged[]): CircuitChange[] =>
  onUnits(units, changed, ({ circuit, part }, unit) =>
    onCircuits(unit, circuit, part.trim().toLowerCase()).filter(({ word }) => word !== ''),
  );

/** Visits that found a cause: on one circuit, or on all of the unit. */
export const visits = (units: readonly FleetUnit[], closed: readonly VisitClosed[]): CircuitChange[] =>
  onUnits(units, closed, ({ circuit, cause }, unit) => onCircuits(unit, circuit, cause));

const onCircuits = (unit: FleetUnit, circuit: number | null, word: string) =>
  unit.circuits
    .filter(({ number }) => circuit === null || circuit === number)
    .map(({ id }) => ({ circuitId: id, word }));

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
