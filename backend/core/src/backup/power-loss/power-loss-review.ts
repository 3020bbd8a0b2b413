import type { Finding, Statement } from '../../diagnosis/index.js';
import type { CircuitEntry, CircuitSeries, ModuleEntry } from '../../telemetry/index.js';
import type { ClosingJudgement, ClosingTrace } from '../closing/index.js';
import type { PowerLoss } from '../resting/index.js';

export interface CircuitAroundLoss {
  circuit: number;
  refrigerant: string;
  /** Some minutes before, and up to some hours after, the loss; the restart included where it came. */
  series: CircuitSeries;
}

export interface ReviewPowerLossInput {
  module: ModuleEntry;
  circuits: CircuitEntry[];
  loss: PowerLoss;
  /** The closing that the loss set off, where one was sent. */
  closing: { judgement: ClosingJudgement; trace: ClosingTrace } | null;
  around: CircuitAroundLoss[];
  /** When the valve was last seen to shut on stored energy: a loss before it asks for nothing any more. */
  lastProof_s?: number | null;
}

export interface CircuitLossReview {
  circuit: number;
  openingBefore_pct: number | null;
  openingAfter_pct: number | null;
  suctionPressureBefore_Pa: number | null;
  dischargePressureBefore_Pa: number | null;
  /** Difference between high and low side when the loss began, and the time until it had halved and had gone under 5 %. */
  pressureHalved_s: number | null;
  pressureMet_s: number | null;
  /**
   * Refrigerant that can at most have passed through what stayed open, kg; an upper bound, and never more than the
   * charge where the registry has it. `null`: cannot be said.
   */
  refrigerantPassedAtMost_kg: number | null;
  /** Whether the charge, not the orifice, sets that bound. */
  wholeChargeCanHavePassed: boolean;
  restartAt_s: number | null;
  /** Lowest superheat in the first ten minutes after the restart. */
  restartLeastSuperheat_K: number | null;
  /** Time under the floodback limit in those ten minutes, s. */
  restartUnderFloodback_s: number | null;
}

export interface PowerLossReview {
  module: number;
  from_s: number;
  to_s: number | null;
  duration_s: number | null;
  closingSent: boolean;
  shut: boolean | null;
  openingBefore_pct: number | null;
  openingAfter_pct: number | null;
  timeToShut_s: number | null;
  voltageBefore_V: number | null;
  voltageAfter_V: number | null;
  energyUsed_J: number | null;
  circuits: CircuitLossReview[];
  outcome: 'shut' | 'did-not-shut' | 'floodback-at-restart' | 'unknown';
  /** One sentence; the caution comes with it. */
  verdict: Statement;
  caution: Statement;
  findings: Finding[];
}
