import { lastingSteps, type LastingStepOptions } from '@coldrounds/core';
import type { FleetUnit } from '../../registry/fleet.js';
import type { Visited } from '../../storage/repositories/study.repository.js';

export const changeKinds = [
  'firmware',
  'setpoint',
  'charging',
  'valve',
  'registry',
  'part',
  'visit',
] as const;
export type ChangeKind = (typeof changeKinds)[number];

/** Those whose changes are told of. */
export type Changed = 'circuits' | 'modules';

/** A change of a circuit or module, by the registry's history or a visit. */
export interface MemberChange {
  /** Of the circuit or module. */
  memberId: number;
  at_s: number;
  /**
   * What it became: the new firmware or valve size, a setpoint or a charging voltage `raised` or `lowered`, the entry of the registry that is
   * another, the part that a visit changed, or the cause that it found.
   */
  word: string;
}

/** A document of the registry as it was before or after a change; only what is looked at here. */
interface UnitDocument {
  controllerFirmware?: string;
  circuits?: CircuitDocument[];
  modules?: { number: number }[];
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

export interface PartChanged extends Visited {
  part: string;
}

export interface VisitClosed extends Visited {
  cause: string;
}

/** Changes of controller firmware, told of every circuit or module of the unit. */
export const firmwareChanges = (
  units: readonly FleetUnit[],
  steps: readonly RegistryStep[],
  of: Changed,
): MemberChange[] =>
  onUnits(units, steps, ({ before, after }, unit) => {
    const word = after.controllerFirmware;
    if (word === undefined || word === before.controllerFirmware) return [];
    return unit[of].map(({ id }) => ({ memberId: id, word }));
  });

/** Changes of a circuit's valve. */
export const valveChanges = (units: readonly FleetUnit[], steps: readonly RegistryStep[]): MemberChange[] =>
  onUnits(units, steps, ({ before, after }, unit) =>
    unit.circuits.flatMap(({ id, number }) => {
      const [was, is] = [before, after].map(
        ({ circuits }) => circuits?.find((each) => each.number === number)?.valve,
      );
      if (is?.size === undefined || was === undefined) return [];
      return was.size === is.size && was.kv_m3_h === is.kv_m3_h ? [] : [{ memberId: id, word: is.size }];
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

/** Changes of any entry of the registry: of the unit, told of all its circuits or modules, or of one. */
export const registryChanges = (
  units: readonly FleetUnit[],
  steps: readonly RegistryStep[],
  of: Changed,
): MemberChange[] =>
  onUnits(units, steps, ({ before, after }, unit) => {
    const ofUnit = differing(before, after);
    return unit[of].flatMap(({ id, number }) => {
      const [was, is] = [before, after].map((document) =>
        (document[of] as { number: number }[] | undefined)?.find((each) => each.number === number),
      );
      const own = was === undefined || is === undefined ? [] : differing(was, is);
      return [...ofUnit, ...own].map((word) => ({ memberId: id, word }));
    });
  });

/** Parts that visits changed: on one circuit or module, or on all of the unit. */
export const partChanges = (
  units: readonly FleetUnit[],
  changed: readonly PartChanged[],
  of: Changed,
): MemberChange[] =>
  onUnits(units, changed, ({ part, ...seen }, unit) =>
    onMembers(unit, of, seen, part.trim().toLowerCase()).filter(({ word }) => word !== ''),
  );

/** Visits that found a cause: on one circuit or module, or on all of the unit. */
export const visits = (
  units: readonly FleetUnit[],
  closed: readonly VisitClosed[],
  of: Changed,
): MemberChange[] => onUnits(units, closed, ({ cause, ...seen }, unit) => onMembers(unit, of, seen, cause));

/** Nothing of circuits follows from what was done at a module, nor the other way round. */
function onMembers(
  unit: FleetUnit,
  of: Changed,
  { circuit, module }: Pick<Visited, 'circuit' | 'module'>,
  word: string,
) {
  const [own, other] = of === 'circuits' ? [circuit, module] : [module, circuit];
  if (own === null && other !== null) return [];
  return unit[of]
    .filter(({ number }) => own === null || own === number)
    .map(({ id }) => ({ memberId: id, word }));
}

function onUnits<Step extends { unitId: number; at_s: number }>(
  units: readonly FleetUnit[],
  steps: readonly Step[],
  of: (step: Step, unit: FleetUnit) => { memberId: number; word: string }[],
): MemberChange[] {
  const byId = new Map(units.map((unit) => [unit.id, unit]));
  return steps.flatMap((step) => {
    const unit = byId.get(step.unitId);
    return unit === undefined ? [] : of(step, unit).map((each) => ({ ...each, at_s: step.at_s }));
  });
}

const day_s = 86_400;

/** Lasting steps of a setting, of which there is a value for each day from a first one on, told of the first day of the new one. */
export const settingChanges = (
  memberId: number,
  first_s: number,
  daily: ArrayLike<number>,
  steps: LastingStepOptions,
): MemberChange[] =>
  lastingSteps(daily, steps).map(({ day, size }) => ({
    memberId,
    at_s: first_s + day * day_s,
    word: size > 0 ? 'raised' : 'lowered',
  }));
