import { BadEntryError } from '../../people/bad-entry.js';
import type { FleetUnit } from '../../storage/fleet.js';
import type { Queryable } from '../../storage/index.js';
import type {
  NewRegistryChange,
  RegistrationRepository,
} from '../../storage/registry/registration.repository.js';
import { NotKnownError } from '../fleet.service.js';
import { factsOf } from '../facts/timeline.js';
import type { FactKeeper } from '../facts/fact-keeper.js';

/** A circuit or a backup module, and where it belongs. */
export interface PartMove {
  kind: 'circuit' | 'module';
  number: number;
  from: FleetUnit;
  to: FleetUnit;
  toNumber: number;
  /** Of a module: the circuits of the unit it moves to whose valves it shuts. */
  circuits: readonly number[];
}

type Noted = Pick<NewRegistryChange, 'kind' | 'siteId' | 'unitId' | 'subject' | 'before' | 'after'>;

const refuse = (name: string, reason: string): never => {
  throw new BadEntryError([{ name, reason }]);
};

/**
 * Moves a circuit or a backup module to another unit, or to another number of its own, with its readings, closings and all
 * that was judged; in the transaction of the caller. Circuits are judged anew from the moment it holds: at another unit
 * they have other water, another refrigerant perhaps, and other neighbours.
 */
export async function movePart(
  client: Queryable,
  { registration, factKeeper }: { registration: RegistrationRepository; factKeeper: FactKeeper },
  move: PartMove,
  from_s: number | null,
): Promise<Noted[]> {
  const { kind, number, from, to, toNumber } = move;
  const parts: readonly { id: number; number: number }[] = kind === 'circuit' ? from.circuits : from.modules;
  const part = parts.find((one) => one.number === number);
  if (part === undefined) throw new NotKnownError(`Unit ${nameOf(from)} has no ${kind} ${number}.`);
  if (await registration.isTaken(client, kind, to.id, toNumber))
    refuse('number', `is taken by another ${kind} of that unit, or was once`);
  if (kind === 'circuit') checkCircuit(move);
  else checkModule(move);
  const entry = kind === 'circuit' ? { number: toNumber } : { number: toNumber, circuits: move.circuits };
  await registration.movePart(
    client,
    { kind, id: part.id, unitId: from.id, number },
    { unitId: to.id, number: toNumber, entry },
  );
  if (kind === 'circuit') {
    const circuit = from.circuits.find((one) => one.number === number)!;
    const there = { ...circuit, number: toNumber, entry: { ...circuit.entry, number: toNumber } };
    const changed = { circuitId: circuit.id, before: factsOf(from, circuit), after: factsOf(to, there) };
    await factKeeper.keepAll(client, [changed], from_s);
  }
  return [...new Set([from, to])].map((unit) => ({
    ...{ kind: 'move' as const, siteId: unit.site.id, unitId: unit.id, subject: nameOf(unit) },
    before: { unit: nameOf(from), [kind]: number },
    after: { unit: nameOf(to), [kind]: toNumber },
  }));
}

const nameOf = ({ site, key }: FleetUnit): string => `${site.key}/${key}`;

function checkCircuit({ number, from, to }: PartMove): void {
  if (from.id !== to.id && from.circuits.length === 1)
    refuse('circuit', 'is the only one of its unit: move or retire the unit instead');
  const driven = from.modules.filter(({ entry }) => entry.circuits.includes(number));
  if (driven.length > 0)
    refuse(
      'circuit',
      `is shut by backup module ${driven[0].number}: say first which circuits that one shuts`,
    );
}

function checkModule({ to, circuits }: PartMove): void {
  const unknown = circuits.filter((each) => !to.circuits.some(({ number }) => number === each));
  if (circuits.length === 0) refuse('circuits', 'must name the circuits whose valves it shuts');
  if (unknown.length > 0) refuse('circuits', `names circuit ${unknown[0]}, which that unit does not have`);
}
