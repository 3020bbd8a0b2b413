import {
  adviceOn,
  bringUpToDate,
  clockRecord_s,
  clocksApart,
  isMispaired,
  machineOf,
  notClaimedWhileMispaired,
  nothingLearned,
  conditionsNotLearnedFrom,
  swappedCircuits,
  swapRecord_s,
  windowsThatTell,
  savedInWindows,
  unsoundSpans,
  window_s,
  type AdviceContext,
  type ComparedPlateau,
  type DepartingCircuit,
  type Finding,
  type KeptNormal,
  type LikeCircuit,
  type Machine,
  type UnsoundSpan,
  type WindowPlateaus,
} from '@coldrounds/core';
import type { SourceFindings } from '../../findings/finding-keeper.js';
import { sensorSource } from '../../findings/sensor-source.js';
import type { Queryable } from '../../storage/connection/database.js';
import { rollup_s } from '../../storage/schema/rollups.js';
import type { FleetCircuit, FleetUnit } from '../../storage/fleet.js';
import type {
  KeptComparison,
  NormalRepository,
  NormalStart,
  RegisteredFacts,
  StoredNormal,
} from '../../storage/repositories/results/normal.repository.js';
import type { SeriesRepository } from '../../storage/repositories/readings/series.repository.js';
import type {
  EnergyRepository,
  EnergyVisit,
  KeptEnergy,
  KeptSaving,
} from '../../storage/repositories/energy.repository.js';
import { dayOf, day_s, type WindowRepository } from '../../storage/repositories/results/window.repository.js';
import type { LikeUnits } from './like-units.js';
import { meansOf, samplesOf, seriesForClocks } from './series-of-means.js';

export interface NormalParts {
  normals: NormalRepository;
  windows: WindowRepository;
  series: Pick<SeriesRepository, 'bins'>;
  energies: EnergyRepository;
  /** What circuits without a normal of their own are compared with. */
  like: Pick<LikeUnits, 'of'>;
}

/** A circuit whose comparison is to be brought up to date. */
export interface CircuitToCompare {
  circuitId: number;
  unit: FleetUnit;
  circuit: FleetCircuit;
  /** End of the newest judged window. */
  judgedUntil_s: number;
  /** Windows of it that were judged so far. */
  windowsJudged: number;
}

/** What the circuit's own assessment found, as far as comparing and advising hang on it. */
export interface Assessed extends Pick<AdviceContext, 'floor' | 'swings'> {
  found: readonly Finding[];
}

/** As much of a comparison as tells whether sensors are swapped between circuits. */
export type Departing = Omit<DepartingCircuit, 'series' | 'samples'>;

export interface ComparedCircuit {
  kept: KeptComparison;
  departing: Departing;
  energy: KeptEnergy;
  savings: KeptSaving[];
  findings: SourceFindings;
}

/** What comparisons of some circuits need of the store. */
interface Stored {
  normals: Map<number, StoredNormal>;
  from_s: Map<number, number>;
  plateaus: Map<number, WindowPlateaus[]>;
  compared: Map<number, ComparedPlateau[]>;
  unsound: Map<string, UnsoundSpan[]>;
  visits: EnergyVisit[];
  /** By unit, what its clocks tell. */
  clocks: Map<number, Finding[]>;
  /** Of circuits without a normal of their own, the circuits of like units. */
  like: Map<number, LikeCircuit[]>;
}

/** Days that a comparison looks back; until normal is learned for good, all since learning began, and no more than the second. */
const memory_days = 28;
const learningMemory_days = 120;

/** Compares circuits with what they do while nothing is wrong, and learns that. */
export class NormalKeeper {
  constructor(
    private readonly parts: NormalParts,
    /**
     * Windows between two comparisons of a circuit: a day, as a day's plateaus are looked at together. Comparing at every
     * window would cost several times what judging it does.
     */
    private readonly every = 12,
  ) {}

  /** Those of the circuits that are to be compared now, by their ids: after so many new windows, and when the registry changed. */
  async due(circuits: readonly CircuitToCompare[]): Promise<Map<number, CircuitToCompare>> {
    const known = await this.parts.normals.compared(circuits.map(({ circuitId }) => circuitId));
    return new Map(
      circuits
        .filter(({ circuitId, windowsJudged, unit, circuit }) => {
          const last = known.get(circuitId);
          return (
            last === undefined ||
            windowsJudged - last.windows >= this.every ||
            !sameFacts(last.registered, registeredFacts(unit, circuit))
          );
        })
        .map((circuit) => [circuit.circuitId, circuit]),
    );
  }

  /** Call before the transaction that keeps comparisons. */
  makeRoom(kept: readonly KeptComparison[]): Promise<void> {
    return this.parts.normals.makeRoom(kept);
  }

  async keep(
    client: Queryable,
    compared: readonly Pick<ComparedCircuit, 'kept' | 'energy' | 'savings'>[],
  ): Promise<void> {
    const { normals, energies } = this.parts;
    try {
      await normals.keep(
        client,
        compared.map(({ kept }) => kept),
      );
      await energies.keep(
        client,
        compared.map(({ energy }) => energy),
      );
      await energies.keepSavings(
        client,
        compared.flatMap(({ savings }) => savings),
      );
    } catch (error) {
      // "no partition found": retention dropped one that was known to be there; the next attempt makes it.
      if ((error as { code?: string }).code === '23514') normals.forgetRooms();
      throw error;
    }
  }

  /** What comparisons of these circuits stand on, read at once. */
  async read(items: readonly CircuitToCompare[]): Promise<Stored> {
    const { normals: repository, windows, energies } = this.parts;
    if (items.length === 0)
      return {
        normals: new Map(),
        from_s: new Map(),
        plateaus: new Map(),
        compared: new Map(),
        unsound: new Map(),
        visits: [],
        clocks: new Map(),
        like: new Map(),
      };
    const normals = await repository.kept(items.map(({ circuitId }) => circuitId));
    const from_s = new Map(
      items.map(({ circuitId, judgedUntil_s }) => {
        const known = normals.get(circuitId);
        const days = known?.complete ? memory_days : learningMemory_days;
        return [circuitId, dayOf(Math.max(judgedUntil_s - days * day_s, known?.learnFrom_s ?? 0))];
      }),
    );
    const asked = [...from_s].map(([id, from]) => ({ id, from_s: from }));
    const young = items.filter(({ circuitId }) => !normals.get(circuitId)?.learned);
    const [plateaus, compared, unsound, visits, clocks, like] = await Promise.all([
      windows.plateausSince(asked),
      repository.comparedSince(asked),
      repository.unsoundSpans(
        items.flatMap(({ unit, circuit }) => [
          circuitSource(circuit),
          sensorSource(circuit),
          clockSource(unit),
        ]),
        [...conditionsNotLearnedFrom],
      ),
      energies.visits(items.map(({ circuitId }) => circuitId)),
      this.clocksOf(items),
      this.parts.like.of(young),
    ]);
    return { normals, from_s, plateaus, compared, unsound, visits, clocks, like };
  }

  /** Of each unit of these circuits, whether the clocks of its circuits and of its water run apart, by the means of the newest days. */
  private async clocksOf(items: readonly CircuitToCompare[]): Promise<Map<number, Finding[]>> {
    const until = new Map<FleetUnit, number>();
    for (const { unit, judgedUntil_s } of items)
      until.set(unit, Math.max(until.get(unit) ?? -Infinity, judgedUntil_s));
    const found = new Map<number, Finding[]>();
    for (const [unit, until_s] of until) {
      const bins = (source: 'rollups' | 'water', id: number) =>
        this.parts.series.bins(source, id, until_s - clockRecord_s, until_s, rollup_s);
      const water = await bins('water', unit.id);
      if (water.time_s.length === 0) continue;
      const circuits = await Promise.all(
        unit.circuits.map(async ({ id, number }) => ({
          circuit: number,
          series: seriesForClocks(await bins('rollups', id), water),
        })),
      );
      found.set(unit.id, clocksApart(circuits, until_s));
    }
    return found;
  }

  /** What the clocks of a unit tell, of which a circuit was compared just now. */
  clocks({ unit, judgedUntil_s }: CircuitToCompare, { clocks }: Stored): SourceFindings {
    return {
      unitId: unit.id,
      source: clockSource(unit),
      found: clocks.get(unit.id) ?? [],
      context: { settled: true, dataUntil_s: judgedUntil_s },
    };
  }

  /**
   * Sensors that are swapped between the circuits of a unit, by the means of the newest days and the samples of a window in each half
   * of these. Of the circuits that were not
   * compared just now, the comparison is only looked at where one of the unit departs from its normal.
   */
  async swapped(
    { unit, judgedUntil_s }: CircuitToCompare,
    compared: ReadonlyMap<number, Departing>,
  ): Promise<SourceFindings> {
    const known = new Map([...compared, ...(await this.othersOf(unit, judgedUntil_s, compared))]);
    const from_s = judgedUntil_s - swapRecord_s;
    const means = await Promise.all(
      unit.circuits.map(({ id }) => meansOf(this.parts.series, id, from_s, judgedUntil_s)),
    );
    const windows = windowsThatTell(means, unit.refrigerant);
    const circuits = await Promise.all(
      unit.circuits.map(async (circuit, k) => ({
        ...(known.get(circuit.id) ?? notCompared(unit, circuit)),
        ...{ series: means[k], samples: await samplesOf(this.parts.series, circuit.id, windows) },
      })),
    );
    return {
      unitId: unit.id,
      source: `swapped/${unit.id}`,
      found: swappedCircuits(circuits, unit.refrigerant),
      context: { settled: true, dataUntil_s: judgedUntil_s },
    };
  }

  /** The circuits of a unit that were not compared just now, as compared with what is stored; none where no circuit of it departs. */
  private async othersOf(
    unit: FleetUnit,
    judgedUntil_s: number,
    compared: ReadonlyMap<number, Departing>,
  ): Promise<[number, Departing][]> {
    const others = unit.circuits.filter(({ id }) => !compared.has(id));
    if (others.length === 0) return [];
    if (![...compared.values()].some(({ over }) => over.length > 0)) {
      const spans = await this.parts.normals.unsoundSpans(others.map(normalSource), ['departs-from-normal']);
      if (![...spans.values()].flat().some(({ to_s }) => to_s === Infinity)) return [];
    }
    const items = others.map((circuit) => ({
      ...{ circuitId: circuit.id, unit, circuit, judgedUntil_s },
      windowsJudged: 0,
    }));
    const stored = await this.read(items);
    return items.map((item) => [
      item.circuitId,
      this.compare(item, stored, { found: [], floor: null, swings: [] }).departing,
    ]);
  }

  /** The comparison of one circuit with what follows from it, in the light of what was found on it just now. */
  compare(
    { circuitId, unit, circuit, judgedUntil_s, windowsJudged }: CircuitToCompare,
    stored: Stored,
    { found, floor, swings }: Assessed,
  ): ComparedCircuit {
    const registered = registeredFacts(unit, circuit);
    const before = stored.normals.get(circuitId);
    const startedAnew = before === undefined ? null : startOf(before.registered, registered, judgedUntil_s);
    const kept: StoredNormal = {
      ...(startedAnew === null
        ? (before ?? nothingLearned)
        : { ...nothingLearned, generation: before!.generation }),
      registered,
      learnFrom_s: startedAnew?.learnFrom_s ?? before?.learnFrom_s ?? null,
    };
    const from_s = stored.from_s.get(circuitId)!;
    const known = stored.compared.get(circuitId) ?? [];
    const machine = machineOf({ ...unit, circuits: unit.circuits.length, circuit: circuit.entry });
    const ratedCapacity_W = unit.nominalCapacity_W / unit.circuits.length;
    const windows = stored.plateaus.get(circuitId) ?? [];
    const clocks = stored.clocks.get(unit.id) ?? [];
    const mispaired = isMispaired(clocks, circuit.number);
    const like = stored.like.get(circuitId);
    const { normal, compared, departure, leak, plateaus, over, energy } = bringUpToDate(machine, kept, {
      circuit: circuit.number,
      windows: windows.filter(({ start_s }) => kept.learnFrom_s === null || start_s >= kept.learnFrom_s),
      from_s,
      unsound: [
        ...(stored.unsound.get(circuitSource(circuit)) ?? []),
        ...(stored.unsound.get(sensorSource(circuit)) ?? []),
        ...(stored.unsound.get(clockSource(unit)) ?? []),
        ...unsoundSpans([...found, ...clocks]),
      ],
      before: known,
      ...{ found, ratedCapacity_W, mispaired },
      ...(like === undefined ? {} : { like }),
    });
    const learned = normal.learned?.normal ?? null;
    return {
      kept: {
        circuitId,
        windows: windowsJudged,
        normal: before === undefined || !same(before, normal, registered) ? { ...kept, ...normal } : null,
        // Of the oldest day the neighbours before it are not looked at any more.
        days: changedDays(known, compared, normal.complete ? from_s + day_s : from_s),
        startedAnew,
        advice: adviceOn({
          ...{ circuit: circuit.entry, machine, floor, swings, plateaus, normal: learned },
          // How far off like units a circuit is says no more than that: nothing is worked out from it.
          over: learned === null ? [] : over,
        }),
      },
      departing: {
        ...{ circuit: circuit.number, machine, plateaus, over },
        normal: learned ?? normal.like?.normal ?? null,
      },
      energy: { circuitId, energy },
      savings: stored.visits
        .filter((visit) => visit.circuitId === circuitId)
        .flatMap((visit) => this.savedSince(visit, machine, windows, ratedCapacity_W)),
      findings: {
        unitId: unit.id,
        source: normalSource(circuit),
        found: [departure, leak].filter((one) => one !== null),
        context: {
          settled: true,
          dataUntil_s: judgedUntil_s,
          disproven: [
            // Without a normal, and without like units, there is nothing to depart from.
            ...(learned === null && normal.like === null ? ['departs-from-normal'] : []),
            ...(learned === null ? ['pressures-meet-fast'] : []),
            ...(mispaired ? notClaimedWhileMispaired : []),
          ],
        },
      },
    };
  }

  /** What was saved since it was last counted; nothing until enough windows have come. */
  private savedSince(
    { findingId, circuitId, learned, share, countedUntil_s }: EnergyVisit,
    machine: Machine,
    windows: readonly WindowPlateaus[],
    ratedCapacity_W: number,
  ): KeptSaving[] {
    const since = windows.filter(({ start_s }) => start_s >= countedUntil_s);
    if (since.length < this.every) return [];
    const saved = savedInWindows(machine, learned, share, since, ratedCapacity_W);
    return saved === null
      ? []
      : [{ findingId, circuitId, until_s: since[since.length - 1].start_s + window_s, ...saved }];
  }
}

const circuitSource = ({ id }: { id: number }): string => `circuit/${id}`;
const clockSource = ({ id }: { id: number }): string => `clocks/${id}`;
const normalSource = ({ id }: { id: number }): string => `normal/${id}`;

const notCompared = (unit: FleetUnit, { entry, number }: FleetCircuit): Departing => ({
  circuit: number,
  machine: machineOf({ ...unit, circuits: unit.circuits.length, circuit: entry }),
  normal: null,
  plateaus: [],
  over: [],
});

const registeredFacts = (
  { refrigerant, evaporator, controllerFirmware }: FleetUnit,
  { entry: { valve } }: FleetCircuit,
): RegisteredFacts => ({
  refrigerant,
  evaporator,
  valve: `${valve.size} ${valve.kv_m3_h} ${valve.fullStroke_steps} ${valve.motors}`,
  firmware: controllerFirmware,
});

const reasons: Record<keyof RegisteredFacts, string> = {
  refrigerant: 'The registry has another refrigerant.',
  evaporator: 'The registry has another kind of evaporator.',
  valve: 'The registry has another valve.',
  firmware: 'The registry has another firmware of the controller.',
};

/** With another refrigerant, evaporator, valve or firmware the past is no measure any more: learning starts anew. */
function startOf(
  before: RegisteredFacts,
  now: RegisteredFacts,
  learnFrom_s: number,
): Omit<NormalStart, 'circuitId' | 'startedAt'> | null {
  const changed = (Object.keys(reasons) as (keyof RegisteredFacts)[]).find(
    (name) => before[name] !== now[name],
  );
  return changed === undefined ? null : { learnFrom_s, reason: changed, detail: reasons[changed] };
}

const same = (before: StoredNormal, now: KeptNormal, registered: RegisteredFacts): boolean =>
  before.generation === now.generation &&
  before.complete === now.complete &&
  before.seen === now.seen &&
  before.basis === now.basis &&
  before.learned?.stops.length === now.learned?.stops.length &&
  before.like === now.like &&
  sameFacts(before.registered, registered);

const sameFacts = (before: RegisteredFacts, now: RegisteredFacts): boolean =>
  (Object.keys(reasons) as (keyof RegisteredFacts)[]).every((name) => before[name] === now[name]);

/** Days from `from_s` on of which any comparison is new or gone. */
function changedDays(
  before: readonly ComparedPlateau[],
  now: readonly ComparedPlateau[],
  from_s: number,
): KeptComparison['days'] {
  const byDay = (all: readonly ComparedPlateau[]) => {
    const days = new Map<number, ComparedPlateau[]>();
    for (const one of all) {
      const day = dayOf(one.from_s);
      if (day < from_s) continue;
      const own = days.get(day);
      if (own) own.push(one);
      else days.set(day, [one]);
    }
    return days;
  };
  const were = byDay(before);
  const are = byDay(now);
  return [...new Set([...were.keys(), ...are.keys()])]
    .sort((a, b) => a - b)
    .flatMap((day) => {
      const [old, compared] = [were.get(day) ?? [], are.get(day) ?? []];
      const unchanged =
        old.length === compared.length && old.every(({ checksum }, k) => checksum === compared[k].checksum);
      return unchanged ? [] : [{ day_s: day, compared }];
    });
}
