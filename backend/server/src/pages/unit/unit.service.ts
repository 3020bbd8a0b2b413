import {
  compareFindings,
  mergeWrongRefrigerant,
  normalNote,
  notJudgedOn,
  whatIsMissing,
} from '@coldrounds/core';
import { entryOf } from '../../registry/changing/unit-entry.js';
import type { CircuitPath, UnitPath } from '../../registry/paths.js';
import { iso, siteReference, unitReference } from '../references.js';
import { inRoundOrder, recorded } from '../../findings/recorded.js';
import { thinned } from '../thinned.js';
import type { NotJudgedRepository } from '../../storage/assessment/not-judged.repository.js';
import type { DiagnosisRepository } from '../../storage/repositories/findings/diagnosis.repository.js';
import type { FindingRepository } from '../../storage/repositories/findings/finding.repository.js';
import type { ModuleRepository } from '../../storage/repositories/results/module.repository.js';
import type {
  NormalRepository,
  NormalStart,
  NormalState,
} from '../../storage/repositories/results/normal.repository.js';
import type { ReadingRepository } from '../../storage/repositories/readings/reading.repository.js';
import type { WindowRepository } from '../../storage/repositories/results/window.repository.js';
import { cautionsFor } from './cautions.js';
import type { FleetModule, FleetUnit } from '../../registry/fleet.js';
import type { FleetService } from '../../registry/fleet.service.js';
import { latestView } from '../../registry/latest.js';

export interface UnitParts {
  fleet: FleetService;
  findings: FindingRepository;
  diagnoses: DiagnosisRepository;
  normals: NormalRepository;
  readings: ReadingRepository;
  windows: WindowRepository;
  modules: ModuleRepository;
  notJudged: NotJudgedRepository;
}

const mostReservePoints = 120;

/** One unit: its circuits, modules, diagnoses and findings. */
export class UnitService {
  constructor(
    private readonly parts: UnitParts,
    private readonly now_s: () => number = () => Date.now() / 1000,
  ) {}

  async detail(path: UnitPath) {
    const { fleet, findings, diagnoses, normals, readings, windows, notJudged } = this.parts;
    const unit = await fleet.unit(path);
    const ids = unit.circuits.map(({ id }) => id);
    const [open, diagnosed, states, latest, assessments, newestWindows, modules, failures] =
      await Promise.all([
        findings.open(unit.id),
        diagnoses.openOfUnits([unit.id]),
        normals.states(ids),
        readings.latest(ids),
        windows.assessments(ids),
        windows.newest(ids),
        this.moduleOverviews(unit.modules, mostReservePoints),
        notJudged.ofUnit(unit.id),
      ]);
    const verdicts = open.map(({ document }) => document);
    const newest = new Map(latest.map(({ circuitId, time_s }) => [circuitId, time_s]));
    return {
      asOf: iso(this.now_s()),
      site: siteReference(unit.site),
      unit: {
        ...unitReference(unit),
        commissionedOn: unit.commissionedOn,
        retiredAt: unit.retiredAt?.toISOString() ?? null,
        condenser: unit.condenser,
        online: unit.online,
      },
      lastReading: lastOf(unit, newest),
      missing: whatIsMissing(entryOf(unit)).map(({ fact, cost, part }) => ({
        ...{ fact, cost },
        part:
          part.kind === 'unit'
            ? 'unit'
            : `${part.kind === 'module' ? 'backup module' : part.kind} ${part.number}`,
      })),
      circuits: unit.circuits.map(({ id, number, entry }) => {
        const reading = latest.find(({ circuitId }) => circuitId === id);
        const assessed = assessments.get(id);
        const { superheatLevel, superheatSwing, subcooling } = notJudgedOn(verdicts, number, 'as-read');
        return {
          number,
          entry,
          latest:
            reading === undefined
              ? null
              : latestView(unit.refrigerant, entry, reading, newestWindows.get(id)),
          summary: {
            day: assessed?.detail.days.at(-1) ?? null,
            // What was assessed before weeks were kept has none yet.
            week: assessed?.detail.lastWeek ?? null,
          },
          assessment: assessed?.detail ?? null,
          assessedAt: assessed?.judgedAt.toISOString() ?? null,
          notReliable: { superheatLevel, superheatSwing, subcooling },
          normal: normalView(number, states.normals.get(id), states.starts.get(id)),
        };
      }),
      modules,
      diagnoses: inRoundOrder(diagnosed),
      findings: mergeWrongRefrigerant(open.map(recorded), unit.circuits.length).sort(compareFindings),
      notJudged: failures.map(({ kind, number, startsAt_s, reason, failedAt_s }) => ({
        kind,
        number,
        startsAt: startsAt_s === null ? null : iso(startsAt_s),
        reason,
        failedAt: iso(failedAt_s),
      })),
      cautions: cautionsFor(unit),
    };
  }

  async floor(path: CircuitPath) {
    const { circuit } = await this.parts.fleet.circuit(path);
    const assessed = (await this.parts.windows.assessments([circuit.id])).get(circuit.id);
    return {
      assessedAt: assessed?.judgedAt.toISOString() ?? null,
      assessment: assessed?.detail ?? null,
    };
  }

  /** Modules with their newest reading and what is known of their reserve. */
  async moduleOverviews(modules: FleetModule[], points: number) {
    const ids = modules.map(({ id }) => id);
    const [latest, assessments] = await Promise.all([
      this.parts.readings.latestModules(ids),
      this.parts.modules.assessments(ids),
    ]);
    return modules.map(({ id, number, entry }) => {
      const reading = latest.find(({ moduleId }) => moduleId === id);
      const assessed = assessments.get(id)?.detail;
      return {
        number,
        entry,
        latest:
          reading === undefined
            ? null
            : {
                time_s: reading.time_s,
                voltage_V: reading.voltage_V,
                current_A: reading.current_A,
                temperature_K: reading.temperature_K,
                mains: reading.mains,
                health: reading.health,
              },
        assessment:
          assessed === undefined
            ? null
            : { ...assessed, reserveHistory: thinned(assessed.reserveHistory, points) },
      };
    });
  }
}

function lastOf(unit: FleetUnit, newest: Map<number, number>): string | null {
  const times = unit.circuits.flatMap(({ id }) => newest.get(id) ?? []);
  return times.length === 0 ? null : iso(Math.max(...times));
}

/** How it stands with a circuit's normal; null where it was not compared with any yet. */
function normalView(circuit: number, state: NormalState | undefined, start: NormalStart | undefined) {
  if (state === undefined) return null;
  const { complete, seen, learnedFrom_s, learnedUntil_s, likeUnits, likeDeparts } = state;
  const learned = learnedFrom_s !== null;
  return {
    learned,
    likeUnits,
    complete,
    plateaus: seen,
    learnedFrom_s,
    learnedUntil_s,
    startedAnew:
      start === undefined
        ? null
        : {
            at: start.startedAt.toISOString(),
            learnFrom_s: start.learnFrom_s,
            reason: start.reason,
            detail: start.detail,
          },
    note: normalNote(
      {
        complete,
        seen,
        learned,
        like: likeUnits === null ? null : { units: likeUnits, departs: likeDeparts },
      },
      circuit,
    ),
  };
}
