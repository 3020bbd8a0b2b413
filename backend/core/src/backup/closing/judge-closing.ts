import { quantity, statement, type Statement } from '../../diagnosis/index.js';
import { BackupInputError } from '../errors.js';
import { defaultBackupSettings } from '../settings.js';
import { estimateCapacitor, type CapacitorEstimate } from './capacitor/index.js';
import { circuitsOf, closingDemand } from './closing-energy.js';
import type { ClosingJudgement, JudgeClosingInput } from './closing-judgement.js';
import {
  driveFigures,
  electricalRows,
  travelFigures,
  voltageFigures,
  type DriveFigures,
  type TravelFigures,
  type VoltageFigures,
} from './trace-figures.js';

/** Coarser than this, a closing of a few seconds cannot be followed. */
const coarsest_s = 2;
/** Without current, a fall by this fraction of the rated voltage shows that the module delivered. */
const deliveredFall = 0.01;

/**
 * What one closing shows: capacitance, ESR, energy used, and whether the valve was seen to shut.
 *
 * Throws `BackupInputError` for columns of unequal length or times out of order; anything that the trace is too short
 * or too coarse to say is `null`, with a sentence in `limits`.
 */
export function judgeClosing(input: JudgeClosingInput): ClosingJudgement {
  const { trace, module, circuits, mains } = input;
  const { time_s, voltage_V, current_A } = electricalRows(trace);
  if (circuitsOf(module, circuits).length === 0)
    throw new BackupInputError('circuits', 'holds none of the circuits that the module shuts');

  const estimate =
    current_A && estimateCapacitor({ time_s, voltage_V, current_A, ratedVoltage_V: module.ratedVoltage_V });
  const drive = current_A && driveFigures(time_s, voltage_V, current_A);
  const travel = travelFigures(trace);
  const sampling_s = estimate?.sampling_s ?? travel.sampling_s;
  const voltage = voltageFigures(time_s, voltage_V, drive);
  const shutting = judgeShutting(travel, sampling_s, deliveredEnergy(drive, voltage, module.ratedVoltage_V));
  return {
    startedAt_s: input.startedAt_s,
    kind: mains === 0 ? 'power-loss' : 'self-test',
    kindSeen: mains !== null,
    temperature_K: input.temperature_K,
    samples: trace.time_s.length,
    sampling_s,
    capacitance_F: estimate?.capacitance_F ?? null,
    capacitanceUncertainty_F: estimate?.capacitanceUncertainty_F ?? null,
    capacitanceMethod: estimate?.method ?? null,
    esr_Ohm: estimate?.esr_Ohm ?? null,
    esrUncertainty_Ohm: estimate?.esrUncertainty_Ohm ?? null,
    current_A: estimate?.meanCurrent_A ?? null,
    drivePower_W: drive?.power_W ?? null,
    voltageBefore_V: voltage.before_V,
    voltageAfter_V: voltage.after_V,
    voltageLowest_V: voltage.lowest_V,
    energyUsed_J: drive?.energy_J ?? null,
    driveTime_s: drive?.time_s ?? null,
    openingBefore_pct: travel.before_pct,
    openingAfter_pct: travel.after_pct,
    timeToShut_s: shutting.shut ? travel.timeToShut_s : null,
    shut: shutting.shut,
    proof: shutting.proof,
    energyExpected_J:
      travel.before_pct === null ? null : closingDemand(module, circuits, travel.before_pct).energy_J,
    limits: [...limitsOfEstimate(estimate), ...shutting.limits],
  };
}

const deliveredEnergy = (
  drive: DriveFigures | null,
  { before_V, lowest_V }: VoltageFigures,
  ratedVoltage_V: number,
): boolean =>
  drive !== null ||
  (before_V !== null && lowest_V !== null && before_V - lowest_V > deliveredFall * ratedVoltage_V);

/** Why capacitance or ESR is missing. */
function limitsOfEstimate(estimate: CapacitorEstimate | null): Statement[] {
  if (!estimate)
    return [statement('No current was sent, so this closing gives neither capacitance nor ESR.')];
  if (estimate.capacitance_F === null)
    return [statement('The discharge is too short or too shallow to give a capacitance.')];
  if (estimate.esr_Ohm === null)
    return [
      statement('No ESR: one sample every {sampling} is too coarse, or the start of the drive is missing.', {
        sampling: quantity('duration', estimate.sampling_s ?? 0),
      }),
    ];
  return [];
}

/** Whether the valve shut, whether that proves that the module can shut it, and why either is not known. */
function judgeShutting(
  travel: TravelFigures,
  sampling_s: number | null,
  delivered: boolean,
): { shut: boolean | null; proof: boolean; limits: Statement[] } {
  const limits: Statement[] = [];
  let { shut } = travel;
  const tooCoarse = sampling_s !== null && sampling_s > coarsest_s;
  if (shut === null)
    limits.push(statement('No valve opening was sent, so it is not known whether the valve shut.'));
  else if (tooCoarse) {
    limits.push(
      statement('One sample every {sampling} is too coarse to follow a closing.', {
        sampling: quantity('duration', sampling_s),
      }),
    );
    // A valve at rest on its seat is seen at any sampling; one that is not shut may have been on its way.
    if (!shut) shut = null;
  }
  const travelled_pct =
    travel.before_pct !== null && travel.after_pct !== null ? travel.before_pct - travel.after_pct : 0;
  const farEnough = travelled_pct >= defaultBackupSettings.proofTravel_pct;
  const proof = shut === true && delivered && farEnough && sampling_s !== null && !tooCoarse;
  if (shut === true && !proof && !farEnough)
    limits.push(
      statement('The valve hardly moved, so this closing does not prove that the module can shut it.'),
    );
  return { shut, proof, limits };
}
