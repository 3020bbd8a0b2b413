import {
  assessModule,
  closingTimeFromOpen_s,
  compareFindings,
  findPowerLosses,
  reviewPowerLoss,
  type ClosingJudgement,
  type Finding,
  type ModuleReadings,
  type PowerLossReview,
} from '@coldrounds/core';
import type { FindingKeeper } from '../../findings/finding-keeper.js';
import type { FleetModule, FleetUnit } from '../../registry/fleet.js';
import type { ModuleWorkRepository } from '../../storage/assessment/module-work.repository.js';
import { mayPass, reasonOf } from '../../storage/connection/database-errors.js';
import type { ModuleRepository } from '../../storage/repositories/results/module.repository.js';
import type { ReadingRepository } from '../../storage/repositories/readings/reading.repository.js';
import type { AgeingCohorts } from './ageing-cohorts.js';
import { judgeStoredClosing } from './judge-stored-closing.js';

export interface ModuleAssessorParts {
  work: ModuleWorkRepository;
  modules: ModuleRepository;
  readings: ReadingRepository;
  findings: FindingKeeper;
  /** How modules of the same rating age; left out where nothing is learned of them. */
  cohorts?: Pick<AgeingCohorts, 'like'>;
  /** Told of what could not be done, for the log. */
  failed?: (moduleId: number, error: unknown) => void;
}

export interface ModuleAssessorOptions {
  /** Closings judged at once. */
  batch: number;
  closings_days: number;
  readings_days: number;
  /** Around a loss of mains: before it, and after the mains came back. */
  before_s: number;
  after_s: number;
  /** A module known for less than this is not called unproven while history comes in: its tests may be under way. */
  young_s: number;
  /** Pause after a first failure, s; it grows fourfold. */
  backOff_s: number;
}

export const defaultModuleOptions: ModuleAssessorOptions = {
  batch: 250,
  closings_days: 400,
  readings_days: 30,
  before_s: 900,
  after_s: 3 * 3600,
  young_s: 900,
  backOff_s: 30,
};

/** A closing belongs to a loss of mains that began at most this long before or after it. */
const sameEvent_s = 180;

/** Judges a module's closings, reviews its losses of mains, and works out its reserve. */
export class ModuleAssessor {
  constructor(
    private readonly parts: ModuleAssessorParts,
    private readonly options: ModuleAssessorOptions = defaultModuleOptions,
    private readonly now_s: () => number = () => Date.now() / 1000,
  ) {}

  /** Assesses one module; an error of its own is noted in its state, trouble with the database is thrown. */
  async run(unit: FleetUnit, module: FleetModule): Promise<void> {
    try {
      await this.assess(unit, module);
    } catch (error) {
      if (mayPass(error)) throw error;
      this.parts.failed?.(module.id, error);
      await this.parts.work.fail(module.id, reasonOf(error), this.options.backOff_s);
    }
  }

  private async assess(unit: FleetUnit, module: FleetModule): Promise<void> {
    const { work, modules, readings, findings } = this.parts;
    const touchedAt = await work.touchedAt(module.id);
    await this.judgeClosings(unit, module);
    const now_s = this.now_s();
    const closings = await modules.judgements(module.id, now_s - this.options.closings_days * 86_400);
    const recent = await readings.moduleReadings(
      module.id,
      now_s - this.options.readings_days * 86_400,
      now_s + 1,
    );
    // Old telemetry alone tells nothing of the present.
    if (closings.length === 0 && recent.time_s.length === 0) return work.settle(module.id, touchedAt);
    const { findings: found, ...assessment } = assessModule({
      module: module.entry,
      circuits: unit.circuits.map(({ entry }) => entry),
      closings,
      readings: recent,
      now_s,
      refrigerant: unit.refrigerant,
      earlier: await modules.earlier(module.id),
      like: (await this.parts.cohorts?.like(module)) ?? null,
      presentOpening_pct: await this.presentOpening(unit, module, now_s),
    });
    const reserve = assessment.reserve.state === 'known' ? assessment.reserve.cases[0].reserve : null;
    await modules.writeAssessment(module.id, assessment, {
      closingReserve: reserve,
      closingTime_s: closingTimeFromOpen_s(closings),
    });
    const reviewed = await this.reviewLosses(unit, module, recent, closings, assessment.proof.lastProof_s);
    const lastClosing_s = closings.at(-1)?.startedAt_s ?? 0;
    const lastReading_s = recent.time_s.at(-1) ?? 0;
    const firstJudged_s = (await modules.firstJudged_s(module.id)) ?? now_s;
    const loading = await work.isLoading(module.id);
    const tooEarly =
      assessment.proof.state === 'unproven' &&
      assessment.proof.lastProof_s === null &&
      now_s - firstJudged_s < this.options.young_s &&
      loading;
    const claimed = found.filter(({ condition }) => !(tooEarly && condition === 'closing-unproven'));
    await findings.keep(unit.id, `module/${module.id}`, distinct([...claimed, ...reviewed]), {
      // Where the unit's telemetry of the past is still being judged, earlier closings may come in with it.
      settled: !loading,
      dataUntil_s: Math.max(lastClosing_s, lastReading_s),
      // A proof closing leaves no doubt that could come and go.
      disproven: assessment.proof.state === 'proven' || tooEarly ? ['closing-unproven'] : [],
    });
    // What was too early to say is looked at again: the module stays due.
    await work.settle(module.id, tooEarly ? null : touchedAt);
  }

  private async judgeClosings(unit: FleetUnit, module: FleetModule): Promise<void> {
    const { modules, work } = this.parts;
    for (let round = 0; round < 20; round++) {
      const closings = await modules.closingsToJudge(module.id, this.options.batch);
      const judgements: ClosingJudgement[] = [];
      const failed: { startedAt_s: number; reason: string }[] = [];
      for (const closing of closings)
        try {
          judgements.push(judgeStoredClosing(unit, module, closing));
        } catch (error) {
          failed.push({ startedAt_s: closing.startedAt_s, reason: reasonOf(error) });
        }
      await modules.writeClosings(module.id, judgements);
      await work.noteFailed(module.id, failed);
      if (failed.length > 0) this.parts.failed?.(module.id, failed[0].reason);
      if (closings.length < this.options.batch) return;
    }
  }

  /** The widest of the valves that the module shuts, if it was read within the last quarter of an hour. */
  private async presentOpening(unit: FleetUnit, module: FleetModule, now_s: number): Promise<number | null> {
    const circuits = unit.circuits.filter(({ number }) => module.entry.circuits.includes(number));
    const latest = await this.parts.readings.latest(circuits.map(({ id }) => id));
    const openings = latest
      .filter(({ time_s }) => now_s - time_s < 900)
      .map(({ valveOpening_pct }) => valveOpening_pct)
      .filter((value): value is number => value !== null);
    return openings.length === 0 ? null : Math.max(...openings);
  }

  private async reviewLosses(
    unit: FleetUnit,
    module: FleetModule,
    recent: ModuleReadings,
    closings: ClosingJudgement[],
    lastProof_s: number | null,
  ): Promise<Finding[]> {
    const { readings, modules } = this.parts;
    const served = unit.circuits.filter(({ number }) => module.entry.circuits.includes(number));
    const reviews: PowerLossReview[] = [];
    for (const loss of findPowerLosses(recent)) {
      const judgement = closings.find(
        ({ startedAt_s }) =>
          startedAt_s >= loss.from_s - sameEvent_s && startedAt_s <= (loss.to_s ?? loss.from_s) + sameEvent_s,
      );
      const closing =
        judgement === undefined ? null : await modules.closing(module.id, judgement.startedAt_s);
      const from_s = loss.from_s - this.options.before_s;
      const to_s = (loss.to_s ?? loss.from_s) + this.options.after_s;
      const around = await Promise.all(
        served.map(async (circuit) => ({
          circuit: circuit.number,
          refrigerant: unit.refrigerant,
          series: await readings.circuitSeries(circuit.id, from_s, to_s),
        })),
      );
      reviews.push(
        reviewPowerLoss({
          module: module.entry,
          circuits: served.map(({ entry }) => entry),
          loss,
          closing: judgement && closing ? { judgement, trace: closing.trace } : null,
          around,
          lastProof_s,
        }),
      );
    }
    await modules.writeReviews(
      module.id,
      reviews.map(({ findings: _findings, ...rest }) => rest),
    );
    // Newest first: of several losses with the same outcome the last one speaks.
    return reviews.reverse().flatMap(({ findings }) => findings);
  }
}

/** One finding per subject and condition: the most urgent, and of these the first given. */
function distinct(findings: Finding[]): Finding[] {
  const seen = new Set<string>();
  return [...findings].sort(compareFindings).filter(({ subject, condition }) => {
    const key = `${JSON.stringify(subject)} ${condition}`;
    if (seen.has(key)) return false;
    seen.add(key);
    return true;
  });
}
