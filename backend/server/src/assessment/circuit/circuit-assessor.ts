import {
  assessCircuit,
  assessSensors,
  conditionsNotJudged,
  inServiceSince_s,
  notJudgedOn,
  signalReports,
  standardAtmospherePressure_Pa,
  prepareSeries,
  swingingWindows,
  swingRecord,
  withWhatIsNotJudged,
  toRemember,
  type AdviceContext,
  type KeptWindow,
  type SensorVerdict,
  type WindowJudgement,
} from '@coldrounds/core';
import type { FindingKeeper, SourceFindings } from '../../findings/finding-keeper.js';
import { sensorSource } from '../../findings/sensor-source.js';
import type {
  AssessedCircuit,
  CircuitWorkRepository,
  DuePolicy,
  JudgedCircuit,
  OwedAssessment,
  TakenCircuit,
} from '../../storage/assessment/circuit-work.repository.js';
import { mayPass, reasonOf } from '../../storage/connection/database-errors.js';
import type { FleetCircuit, FleetUnit } from '../../storage/fleet.js';
import type { ReadingRepository } from '../../storage/repositories/readings/reading.repository.js';
import { day_s, type WindowRepository } from '../../storage/repositories/results/window.repository.js';
import type { FleetParts } from '../fleet-parts.js';
import type { FleetWearSummary } from '../fleet-wear.js';
import { groupedBy, inSetOrAlone, Turns } from '../in-sets.js';
import type { FactsRepository } from '../../storage/registry/facts.repository.js';
import { judgeDue } from './judge-due.js';
import type { CircuitToCompare, ComparedCircuit, NormalKeeper } from './normal-keeper.js';

export interface CircuitAssessorOptions {
  policy: DuePolicy;
  /** Windows of one circuit that are read and judged in one go. */
  windows: number;
  /** Days of windows that an assessment is based on. */
  memory_days: number;
  /** Hours of readings that the sensors are checked on, and how often, s. */
  sensors_hours: number;
  sensorsEvery_s: number;
  /** Pause after a first failure, s; it grows fourfold. */
  backOff_s: number;
}

export const defaultCircuitOptions: CircuitAssessorOptions = {
  policy: {
    settledHistory_s: 5,
    settled_s: 20,
    provisional_s: 300,
    pauseLoading_s: 25,
    pause_s: 10,
  },
  windows: 24,
  memory_days: 28,
  sensors_hours: 48,
  sensorsEvery_s: 3600,
  backOff_s: 30,
};

/**
 * What is optional thins out as the fleet grows, so that it never takes the time that ended windows need: five running
 * windows and one check of sensors in a second, over the whole fleet.
 */
export function optionsFor(circuits: number, options = defaultCircuitOptions): CircuitAssessorOptions {
  return {
    ...options,
    policy: { ...options.policy, provisional_s: Math.max(options.policy.provisional_s, circuits / 5) },
    sensorsEvery_s: Math.max(options.sensorsEvery_s, circuits),
  };
}

export interface CircuitAssessorParts {
  work: CircuitWorkRepository;
  windows: WindowRepository;
  readings: ReadingRepository;
  findings: FindingKeeper;
  normals: NormalKeeper;
  facts: Pick<FactsRepository, 'pasts'>;
  fleet: FleetParts;
  wear: FleetWearSummary;
  /** Told of what could not be done, for the log. */
  failed?: (circuitId: number, error: unknown) => void;
}

interface Subject {
  unit: FleetUnit;
  circuit: FleetCircuit;
}

interface Concluded {
  claims: AssessedCircuit['claims'];
  findings: SourceFindings | null;
  /** What it is based on. */
  windows: readonly WindowJudgement[];
}

/** Judges the due windows of circuits and brings up to date what follows from them, in sets. */
export class CircuitAssessor {
  constructor(
    private readonly parts: CircuitAssessorParts,
    private readonly options: CircuitAssessorOptions = defaultCircuitOptions,
    private readonly now_s: () => number = () => Date.now() / 1000,
  ) {}

  /** Works on circuits that were taken under `holder`, and gives them back. */
  async run(holder: string, taken: readonly TakenCircuit[]): Promise<void> {
    await this.judge(holder, taken);
    await this.assess(holder, taken);
    await this.parts.work.release(holder);
  }

  private async judge(holder: string, taken: readonly TakenCircuit[]): Promise<void> {
    const { work, readings } = this.parts;
    const { policy, windows } = this.options;
    const subjects = await this.parts.fleet.load();
    const due = groupedBy(await work.dueWindows(taken, policy, windows), ({ circuitId }) => circuitId);
    const learned = await this.parts.windows.learnedHabits([...due.keys()]);
    const pasts = await this.parts.facts.pasts([...due.keys()]);
    const turns = new Turns();
    const judged: JudgedCircuit[] = [];
    for (const [circuitId, its] of due) {
      const subject = subjects.circuits.get(circuitId);
      if (subject === undefined) continue;
      await this.guarded(circuitId, async () => {
        const { unit, circuit } = subject;
        const known = { learned: learned.get(circuitId) ?? null, past: pasts.get(circuitId) ?? [] };
        judged.push(await judgeDue(readings, unit, circuit, its, this.now_s(), turns, known));
      });
    }
    await inSetOrAlone(
      judged,
      (items) => work.keepJudged(holder, items, standingOn(items, taken, subjects.circuits), policy),
      ({ circuitId }, error) => this.fail(circuitId, error),
    );
    for (const { circuitId, failed } of judged)
      if (failed.length > 0) this.parts.failed?.(circuitId, failed[0].reason);
  }

  private async assess(holder: string, taken: readonly TakenCircuit[]): Promise<void> {
    const { work, fleet, findings, normals } = this.parts;
    const owed = await work.owed(taken.map(({ circuitId }) => circuitId));
    const { circuits } = await fleet.load();
    const subjects = new Map(
      owed.flatMap(({ circuitId }) => {
        const subject = circuits.get(circuitId);
        return subject === undefined ? [] : [[circuitId, subject] as const];
      }),
    );
    const known = owed.filter(({ circuitId }) => subjects.has(circuitId));
    await inSetOrAlone(
      known,
      async (items) => {
        const sensors = await this.checkSensors(items, subjects);
        const { assessed, found, compared } = await this.conclude(items, subjects, sensors);
        await normals.makeRoom(compared.map(({ kept }) => kept));
        let changed: number[] = [];
        await work.keepAssessed(holder, assessed, this.options.policy, async (client, mine) => {
          const entries = found.filter(({ circuitId }) => mine.has(circuitId));
          changed = await findings.write(entries, client);
          await normals.keep(
            client,
            compared.filter(({ kept }) => mine.has(kept.circuitId)),
          );
        });
        findings.tell(changed);
      },
      ({ circuitId }, error) => this.fail(circuitId, error),
    );
  }

  /** Everything that follows from the windows of the circuits; those on which it fails are left out. */
  private async conclude(
    items: readonly OwedAssessment[],
    subjects: ReadonlyMap<number, Subject>,
    sensors: ReadonlyMap<number, AssessedCircuit['sensors']>,
  ): Promise<{
    assessed: AssessedCircuit[];
    found: (SourceFindings & { circuitId: number })[];
    compared: ComparedCircuit[];
  }> {
    const windows = await this.windowsOf(items, subjects);
    await this.parts.wear.refresh();
    const units = new Map([...subjects.values()].map(({ unit }) => [unit.id, unit]));
    const verdicts = groupedBy(
      await this.parts.findings.verdicts(
        [...units.values()].flatMap(({ circuits }) => circuits.map(sensorSource)),
      ),
      ({ unitId }) => unitId,
    );
    const toCompare = await this.parts.normals.due(settledOnes(items, subjects));
    const past = await this.parts.normals.read([...toCompare.values()]);
    const turns = new Turns();
    const assessed: AssessedCircuit[] = [];
    const found: (SourceFindings & { circuitId: number })[] = [];
    const compared: ComparedCircuit[] = [];
    for (const item of items) {
      const subject = subjects.get(item.circuitId)!;
      await this.guarded(item.circuitId, async () => {
        const concluded = this.concludeOne(item, subject, windows, verdicts.get(subject.unit.id) ?? []);
        const { circuitId, owedSince, loading } = item;
        const comparison = toCompare.get(circuitId);
        const against = comparison && (await this.against(comparison, past, concluded));
        assessed.push({
          circuitId,
          owedSince,
          loading,
          claims: concluded.claims,
          sensors: sensors.get(circuitId) ?? null,
        });
        if (concluded.findings) found.push({ circuitId, ...concluded.findings });
        if (against) {
          found.push({ circuitId, ...against.findings });
          compared.push(against);
        }
      });
      await turns.give();
    }
    found.push(...this.clocksIn(compared, toCompare, past), ...(await this.swappedIn(compared, toCompare)));
    return { assessed, found, compared };
  }

  /** A circuit against its own past, with what is advised on it. */
  private async against(
    comparison: CircuitToCompare,
    past: Awaited<ReturnType<NormalKeeper['read']>>,
    { claims, findings, windows }: Concluded,
  ): Promise<ComparedCircuit> {
    const found = findings?.found ?? [];
    const hunts = found.some(({ condition }) => condition === 'hunting');
    return this.parts.normals.compare(comparison, past, {
      found,
      floor: claims?.assessment.floor ?? null,
      swings: hunts ? await this.swingsOf(comparison, windows) : [],
    });
  }

  /** Of each unit of which a circuit was compared, its clocks. */
  private clocksIn(
    compared: readonly ComparedCircuit[],
    toCompare: ReadonlyMap<number, CircuitToCompare>,
    past: Awaited<ReturnType<NormalKeeper['read']>>,
  ): (SourceFindings & { circuitId: number })[] {
    const one = new Map(
      compared.map(({ kept: { circuitId } }) => [toCompare.get(circuitId)!.unit.id, circuitId] as const),
    );
    return [...one.values()].map((circuitId) => ({
      circuitId,
      ...this.parts.normals.clocks(toCompare.get(circuitId)!, past),
    }));
  }

  /** Of each unit of which a circuit was compared, its circuits against each other. */
  private async swappedIn(
    compared: readonly ComparedCircuit[],
    toCompare: ReadonlyMap<number, CircuitToCompare>,
  ): Promise<(SourceFindings & { circuitId: number })[]> {
    const found: (SourceFindings & { circuitId: number })[] = [];
    const byUnit = groupedBy(compared, ({ kept }) => toCompare.get(kept.circuitId)!.unit.id);
    for (const own of byUnit.values()) {
      const comparison = toCompare.get(own[0].kept.circuitId)!;
      if (comparison.unit.circuits.length < 2) continue;
      const departing = new Map(own.map((one) => [one.kept.circuitId, one.departing]));
      found.push({
        circuitId: comparison.circuitId,
        ...(await this.parts.normals.swapped(comparison, departing)),
      });
    }
    return found;
  }

  /** The newest windows in which a circuit swings, from the readings. */
  private async swingsOf(
    { circuitId, unit }: CircuitToCompare,
    windows: readonly WindowJudgement[],
  ): Promise<AdviceContext['swings']> {
    const learned = (await this.parts.windows.learnedHabits([circuitId])).get(circuitId) ?? null;
    return Promise.all(
      swingingWindows(windows).map(async (window) => {
        const series = await this.parts.readings.circuitSeries(circuitId, window.from_s, window.to_s);
        return swingRecord(window, prepareSeries(series, { ...unit, learned }).series, unit.refrigerant);
      }),
    );
  }

  private concludeOne(
    { circuitId, judgedUntil_s, loading }: OwedAssessment,
    { unit, circuit }: Subject,
    windows: ReadonlyMap<number, readonly KeptWindow[]>,
    verdicts: readonly SensorVerdict[],
  ): Concluded {
    const from_s = judgedUntil_s - this.options.memory_days * day_s;
    const judgements = (id: number) =>
      (windows.get(id) ?? [])
        .filter(({ start_s }) => start_s >= from_s && start_s < judgedUntil_s)
        .map(({ judgement }) => judgement);
    const own = judgements(circuitId);
    if (own.length === 0) return { claims: null, findings: null, windows: own };
    const { findings: found, ...assessment } = assessCircuit({
      windows: own,
      refrigerant: unit.refrigerant,
      evaporator: unit.evaporator,
      circuit: circuit.entry,
      inServiceSince_s: inServiceSince_s(unit),
      sensors: verdicts,
      neighbours: unit.circuits.filter(({ id }) => id !== circuitId).map(({ id }) => judgements(id)),
      fleet: this.parts.wear.others(circuitId),
    });
    const dataUntil_s = assessment.to_s ?? judgedUntil_s;
    return {
      claims: { circuitId, assessment, dataUntil_s },
      windows: own,
      findings: {
        unitId: unit.id,
        source: `circuit/${circuitId}`,
        found,
        context: {
          settled: !loading,
          dataUntil_s,
          disproven: conditionsNotJudged(notJudgedOn(verdicts, circuit.number)),
        },
      },
    };
  }

  /** The windows that the assessments are based on: the circuits' own and those of their units' other circuits. */
  private windowsOf(
    items: readonly OwedAssessment[],
    subjects: ReadonlyMap<number, Subject>,
  ): Promise<Map<number, KeptWindow[]>> {
    const from = new Map<number, number>();
    for (const { circuitId, judgedUntil_s } of items)
      for (const { id } of subjects.get(circuitId)!.unit.circuits) {
        const from_s = judgedUntil_s - this.options.memory_days * day_s;
        from.set(id, Math.min(from.get(id) ?? Infinity, from_s));
      }
    return this.parts.windows.since([...from].map(([id, from_s]) => ({ id, from_s })));
  }

  /** Looks at the sensors of those circuits where it is time to. */
  private async checkSensors(
    items: readonly OwedAssessment[],
    subjects: ReadonlyMap<number, Subject>,
  ): Promise<Map<number, NonNullable<AssessedCircuit['sensors']>>> {
    const { readings } = this.parts;
    const newest = await readings.newest_s(items.map(({ circuitId }) => circuitId));
    const pasts = await this.parts.facts.pasts(items.map(({ circuitId }) => circuitId));
    const checked = new Map<number, NonNullable<AssessedCircuit['sensors']>>();
    for (const { circuitId, loading, sensorsUntil_s, sensorsSettled } of items) {
      const newest_s = newest.get(circuitId);
      if (newest_s === undefined) continue;
      const every_s = loading ? 2 * day_s : this.options.sensorsEvery_s;
      // What was seen while history came in may have lacked a standstill: once it has come, it is looked at again.
      const known = loading || sensorsSettled;
      if (known && sensorsUntil_s !== null && newest_s - sensorsUntil_s < every_s) continue;
      const { unit, circuit } = subjects.get(circuitId)!;
      // Readings of before a change of the registry are not checked by what holds after it.
      const changed_s = pasts.get(circuitId)?.at(-1)?.until_s ?? -Infinity;
      await this.guarded(circuitId, async () => {
        const series = await readings.circuitSeries(
          circuitId,
          Math.min(newest_s, Math.max(newest_s - this.options.sensors_hours * 3600, changed_s)),
          newest_s + 1,
        );
        const { findings: found, habits } = assessSensors({
          refrigerant: unit.refrigerant,
          circuit: circuit.entry,
          unit,
          series,
          atmosphere_Pa: standardAtmospherePressure_Pa(unit.site.altitude_m),
        });
        await this.parts.findings.keep(unit.id, sensorSource(circuit), withWhatIsNotJudged(found), {
          settled: !loading,
          dataUntil_s: newest_s,
        });
        checked.set(circuitId, {
          until_s: newest_s,
          settled: !loading,
          habits: toRemember(habits),
          signals: signalReports(series, habits),
        });
      });
    }
    return checked;
  }

  /** An error of one circuit is noted in its state and stops no other; trouble with the database is thrown. */
  private async guarded(circuitId: number, work: () => Promise<void>): Promise<void> {
    try {
      await work();
    } catch (error) {
      if (mayPass(error)) throw error;
      await this.fail(circuitId, error);
    }
  }

  private async fail(circuitId: number, error: unknown): Promise<void> {
    this.parts.failed?.(circuitId, error);
    await this.parts.work.fail(circuitId, reasonOf(error), this.options.backOff_s);
  }
}

/** The circuits that may be compared with their normal: not while history comes in, or it would be learned again and again. */
const settledOnes = (
  items: readonly OwedAssessment[],
  subjects: ReadonlyMap<number, Subject>,
): CircuitToCompare[] =>
  items
    .filter(({ loading }) => !loading)
    .map(({ circuitId, judgedUntil_s, windowsJudged }) => ({
      circuitId,
      judgedUntil_s,
      windowsJudged,
      ...subjects.get(circuitId)!,
    }));

/** Those of the circuits taken that share a unit with a judged one: hunting and fouling are judged against neighbours. */
function standingOn(
  judged: readonly JudgedCircuit[],
  taken: readonly TakenCircuit[],
  subjects: ReadonlyMap<number, Subject>,
): number[] {
  const units = new Set(
    judged.filter(({ kept }) => kept.length > 0).map(({ circuitId }) => subjects.get(circuitId)?.unit.id),
  );
  const also = new Set(judged.map(({ circuitId }) => circuitId));
  return taken
    .map(({ circuitId }) => circuitId)
    .filter((id) => also.has(id) || units.has(subjects.get(id)?.unit.id));
}
