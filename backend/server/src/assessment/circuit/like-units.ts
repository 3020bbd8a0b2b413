import { conditionsNotLearnedFrom, likeSize, machineOf, type LikeCircuit } from '@coldrounds/core';
import type { FleetCircuit, FleetUnit } from '../../storage/fleet.js';
import type { NormalRepository } from '../../storage/repositories/results/normal.repository.js';
import type { FleetParts } from '../fleet-parts.js';

export interface LikeUnitParts {
  normals: Pick<NormalRepository, 'quiet' | 'kept'>;
  fleet: Pick<FleetParts, 'load'>;
}

/** A circuit that is to be told what its like do. */
interface Asking {
  circuitId: number;
  unit: FleetUnit;
}

/** One circuit of a unit, as large as each of its circuits. */
interface Member {
  unit: FleetUnit;
  circuits: readonly FleetCircuit[];
  capacity_W: number;
}

/** The nearest in size are taken, no more than so many: more tell little more of how units differ. */
const mostUnits = 24;
/** Found faults, and what a unit departs from: while one is open its circuits are not learned from. */
const notQuiet = [...conditionsNotLearnedFrom, 'departs-from-normal', 'pressures-meet-fast'];
/** What is known of other units is read anew so often. */
const readEvery_ms = 6 * 3_600_000;

/**
 * Circuits of other units that a circuit without a past can be compared with: the same refrigerant, kind of condenser and of
 * evaporator, water of their own or shared likewise, size within a factor, a normal of their own, and nothing known to be wrong
 * with their unit. One circuit of each unit, as its circuits are no independent witnesses of how units differ. Units are
 * looked up by kind, once in six hours a kind, and only while one asks: a fleet in which all have their own normal costs nothing.
 */
export class LikeUnits {
  private readAt_ms = -Infinity;
  private quiet = new Map<string, Promise<ReadonlySet<number>>>();
  private normals = new Map<number, LikeCircuit>();

  constructor(
    private readonly parts: LikeUnitParts,
    private readonly now_ms: () => number = Date.now,
  ) {}

  /** By circuit, those it can be compared with; nearest in size first. */
  async of(asking: readonly Asking[]): Promise<Map<number, LikeCircuit[]>> {
    if (asking.length === 0) return new Map();
    if (this.now_ms() - this.readAt_ms > readEvery_ms) {
      this.readAt_ms = this.now_ms();
      this.quiet = new Map();
      this.normals = new Map();
    }
    const { units } = await this.parts.fleet.load();
    const chosen = new Map<number, { id: number; member: Member }[]>();
    for (const [kind, own] of byKind(asking)) {
      const members = units.filter((unit) => kindOf(unit) === kind).map(memberOf);
      const quiet = await this.quietOf(kind, members);
      for (const { circuitId, unit } of own) chosen.set(circuitId, nearest(unit, members, quiet));
    }
    await this.load([...chosen.values()].flat());
    return new Map(
      [...chosen].map(([circuitId, those]) => [
        circuitId,
        those.flatMap(({ id }) => this.normals.get(id) ?? []),
      ]),
    );
  }

  private quietOf(kind: string, members: readonly Member[]): Promise<ReadonlySet<number>> {
    const known = this.quiet.get(kind);
    if (known !== undefined) return known;
    const ids = members.flatMap(({ circuits }) => circuits.map(({ id }) => id));
    const asked = this.parts.normals.quiet(ids, notQuiet);
    this.quiet.set(kind, asked);
    asked.catch(() => this.quiet.delete(kind));
    return asked;
  }

  private async load(those: readonly { id: number; member: Member }[]): Promise<void> {
    const missing = new Map(
      those.filter(({ id }) => !this.normals.has(id)).map(({ id, member }) => [id, member]),
    );
    if (missing.size === 0) return;
    for (const [id, { learned }] of await this.parts.normals.kept([...missing.keys()])) {
      if (learned === null) continue;
      const { unit, capacity_W } = missing.get(id)!;
      this.normals.set(id, {
        machine: machineOf({ ...unit, circuits: unit.circuits.length }),
        capacity_W,
        // What faults are looked for by is worked out anew for the one that is compared.
        normal: { ...learned.normal, signatures: null },
      });
    }
  }
}

const kindOf = ({ refrigerant, condenser, evaporator, circuits }: FleetUnit): string =>
  `${refrigerant} ${condenser} ${evaporator} ${circuits.length === 1}`;

const memberOf = (unit: FleetUnit): Member => ({
  unit,
  circuits: unit.circuits,
  capacity_W: unit.nominalCapacity_W / unit.circuits.length,
});

function byKind(asking: readonly Asking[]): Map<string, Asking[]> {
  const kinds = new Map<string, Asking[]>();
  for (const one of asking) {
    const kind = kindOf(one.unit);
    kinds.set(kind, [...(kinds.get(kind) ?? []), one]);
  }
  return kinds;
}

function nearest(
  unit: FleetUnit,
  members: readonly Member[],
  quiet: ReadonlySet<number>,
): { id: number; member: Member }[] {
  const { capacity_W } = memberOf(unit);
  return members
    .flatMap((member) => {
      const apart = Math.abs(Math.log(member.capacity_W / capacity_W));
      const circuit = member.circuits.find(({ id }) => quiet.has(id));
      const isLike = member.unit.id !== unit.id && apart <= Math.log(likeSize);
      return isLike && circuit !== undefined ? [{ id: circuit.id, member, apart }] : [];
    })
    .sort((a, b) => a.apart - b.apart || a.id - b.id)
    .slice(0, mostUnits);
}
