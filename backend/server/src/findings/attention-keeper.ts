import { diagnosesOf, type CircuitAdvice, type Diagnosis } from '@coldrounds/core';
import { WakeableLoop } from '../background/wakeable-loop.js';
import { diagnosesAsPlanned, documentsAsPlanned, type DeferralReader } from '../decisions/deferral.js';
import type { AttentionRepository } from '../storage/repositories/findings/attention.repository.js';
import type {
  DiagnosisChanges,
  DiagnosisRepository,
} from '../storage/repositories/findings/diagnosis.repository.js';
import type { FindingRepository } from '../storage/repositories/findings/finding.repository.js';
import type { FleetRepository } from '../storage/repositories/fleet.repository.js';
import type { NormalRepository } from '../storage/repositories/results/normal.repository.js';
import { attentionOf, isTold } from './attention.js';
import { documentOf, reconcileDiagnoses } from './reconcile-diagnoses.js';

export interface AttentionParts {
  attention: AttentionRepository;
  findings: FindingRepository;
  diagnoses: DiagnosisRepository;
  deferrals: Pick<DeferralReader, 'of'>;
  registry: Pick<FleetRepository, 'units'>;
  normals: Pick<NormalRepository, 'adviceOf'>;
  /** Called after changes of the round are committed. */
  changed: () => void;
  failed: (error: unknown) => void;
}

const look_ms = 500;
/** Units in one transaction: their findings fit well into memory. */
const most = 500;

/**
 * Brings the diagnoses of units and the kept order of the round up to date with the findings. Any number of processes may run one: the database
 * lets one at a time work, so that changes are numbered in the order in which they are committed.
 */
export class AttentionKeeper {
  private readonly loop: WakeableLoop;

  constructor(private readonly parts: AttentionParts) {
    this.loop = new WakeableLoop(() => this.catchUp(), look_ms, parts.failed);
  }

  start(): void {
    this.loop.start();
  }

  /** There is something to do: looks at once, where it is not at it already. */
  wake(): void {
    this.loop.wake();
  }

  stop(): Promise<void> {
    return this.loop.stop();
  }

  /** Works until nothing is due, or another process is at it. */
  async catchUp(): Promise<void> {
    for (;;) {
      let told = 0;
      const taken = await this.parts.attention.takeDue(most, async (unitIds, client) => {
        told = await this.bringUpToDate(unitIds, client);
      });
      if (told > 0) this.parts.changed();
      if (taken === null || taken < most || this.loop.stopped) return;
    }
  }

  private async bringUpToDate(
    unitIds: number[],
    client: Parameters<Parameters<AttentionRepository['takeDue']>[1]>[1],
  ): Promise<number> {
    const { attention, findings, diagnoses, normals } = this.parts;
    const units = await this.parts.registry.units(unitIds, client);
    const open = groupedBy(await findings.openOfUnits(unitIds, client), ({ unitId }) => unitId);
    const known = groupedBy(await diagnoses.openOfUnits(unitIds, client), ({ unitId }) => unitId);
    const before = await attention.kept(client, unitIds);
    const advice = await normals.adviceOf(unitIds, client);
    const deferred = await this.parts.deferrals.of(unitIds, client);
    const changes: DiagnosisChanges = { opened: [], updated: [], ended: [] };
    const now = units.map((unit) => {
      const own = open.get(unit.id) ?? [];
      const idOf = new Map(own.map(({ id, document }) => [document, id]));
      const standing = known.get(unit.id) ?? [];
      const diagnosed = diagnosesOf(
        unit,
        own.map(({ document }) => document),
        standing.map(({ document }) => document),
      ).map((diagnosis) => documentOf(withAdvice(diagnosis, advice.get(unit.id)), idOf));
      const { opened, updated, ended } = reconcileDiagnoses(unit.id, standing, diagnosed);
      changes.opened.push(...opened);
      changes.updated.push(...updated);
      changes.ended.push(...ended);
      return attentionOf(unit, documentsAsPlanned(own, deferred), diagnosesAsPlanned(diagnosed, deferred));
    });
    const inService = new Set(units.map(({ id }) => id));
    const gone = unitIds.filter((id) => !inService.has(id));
    changes.ended.push(...gone.flatMap((id) => (known.get(id) ?? []).map((diagnosis) => diagnosis.id)));
    await diagnoses.apply(client, changes);
    await attention.keep(client, now);
    const changed = now.filter((place) => isTold(before.get(place.unitId), place));
    const told = [...changed.map(({ unitId }) => unitId), ...(await attention.remove(client, gone))];
    if (told.length > 0) await attention.tellChanges(client, told);
    return told.length;
  }
}

/** What is advised against a cause goes with the diagnosis of its circuit. */
function withAdvice(diagnosis: Diagnosis, advice?: ReadonlyMap<number, CircuitAdvice>): Diagnosis {
  const { subject, cause } = diagnosis;
  if (subject.kind !== 'circuit') return diagnosis;
  return { ...diagnosis, advice: advice?.get(subject.circuit)?.[cause] ?? null };
}

function groupedBy<Item>(items: readonly Item[], keyOf: (item: Item) => number): Map<number, Item[]> {
  const groups = new Map<number, Item[]>();
  for (const item of items) {
    const group = groups.get(keyOf(item));
    if (group) group.push(item);
    else groups.set(keyOf(item), [item]);
  }
  return groups;
}
