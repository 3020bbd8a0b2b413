import { statement, quantity, type Statement } from '../../diagnosis/index.js';
import { circuitsOf, closingDemand } from './closing-energy.js';
import type { ClosingJudgement, ClosingTrace, JudgeClosingInput } from './closing-judgement.js';
import { BackupInputError } from '../errors.js';
import { estimateCapacitor, longestDrive } from './capacitor/index.js';
import { filled } from '../../numerics/robust.js';
import { defaultBackupSettings } from '../settings.js';

/** Opening that counts as shut, %: half a percent is what a position count can be off after overdrive. COMMON PRACTICE. */
export const shutOpening_pct = 0.5;
/** Coarser than this, a closing of a few seconds cannot be followed. */
const coarsest_s = 2;
/** Shares of the rated voltage: without current, a fall by this much says that the module delivered. */
const deliveredFall = 0.01;

/**
 * What one closing shows: capacitance, ESR, energy used, and whether the valve was seen to shut.
 *
 * Throws `BackupInputError` for columns of unequal length or times out of order; anything that the trace is too short
 * or too coarse to say is `null`, with a sentence in `limits`.
 */
export function judgeClosing(input: JudgeClosingInput): ClosingJudgement {
  const { trace, module, circuits, startedAt_s, temperature_K, mains } = input;
  const electrical = usableRows(trace);
  const limits: Statement[] = [];
  const own = circuitsOf(module, circuits);
  if (own.length === 0)
    throw new BackupInputError('circuits', 'holds none of the circuits that the module shuts');

  const measured = electrical.current_A !== null;
  const current_A = electrical.current_A ?? new Float64Array(0);
  const estimate = measured
    ? estimateCapacitor({
        time_s: electrical.time_s,
        voltage_V: electrical.voltage_V,
        current_A,
        ratedVoltage_V: module.ratedVoltage_V,
      })
    : null;
  if (!measured)
    limits.push(
      statement('No current was sent, so capacitance and ESR cannot be worked out from this closing.'),
    );
  else if (estimate?.capacitance_F === null)
    limits.push(statement('The discharge is too short or too shallow to give a capacitance.'));
  else if (estimate?.esr_Ohm === null)
    limits.push(
      statement('Sampling every {sampling} is too coarse, or the start of the drive is missing: no ESR.', {
        sampling: quantity('duration', estimate.sampling_s ?? 0),
      }),
    );

  const drive = measured ? driveFigures(electrical.time_s, electrical.voltage_V, current_A) : null;
  const travel = travelFigures(trace);
  const sampling_s = estimate?.sampling_s ?? travel.sampling_s;
  const voltage = voltageFigures(electrical.time_s, electrical.voltage_V, drive);
  const delivered =
    drive !== null ||
    (voltage.before_V !== null &&
      voltage.lowest_V !== null &&
      voltage.before_V - voltage.lowest_V > deliveredFall * module.ratedVoltage_V);

  let shut = travel.shut;
  if (shut === null)
    limits.push(statement('No valve opening was sent, so whether the valve shut cannot be said.'));
  else if (sampling_s !== null && sampling_s > coarsest_s) {
    limits.push(
      statement('Samples every {sampling} are too far apart to follow a closing.', {
        sampling: quantity('duration', sampling_s),
      }),
    );
    // An end at rest is plain however coarse the way there; only a valve seen shut stays said.
    if (!shut) shut = null;
  }
  const travelled_pct =
    travel.before_pct !== null && travel.after_pct !== null ? travel.before_pct - travel.after_pct : 0;
  const proof =
    shut === true &&
    delivered &&
    travelled_pct >= defaultBackupSettings.proofTravel_pct &&
    sampling_s !== null &&
    sampling_s <= coarsest_s;
  if (shut === true && !proof && travelled_pct < defaultBackupSettings.proofTravel_pct)
    limits.push(statement('The valve hardly travelled, so this closing proves nothing about shutting it.'));

  return {
    startedAt_s,
    kind: mains === 0 ? 'power-loss' : 'self-test',
    kindSeen: mains !== null,
    temperature_K,
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
    timeToShut_s: shut ? travel.timeToShut_s : null,
    shut,
    proof,
    energyExpected_J:
      travel.before_pct === null ? null : closingDemand(module, circuits, travel.before_pct).energy_J,
    limits,
  };
}

const value = (column: ArrayLike<number | null>, i: number): number => column[i] ?? NaN;

/** Rows with a voltage, and their currents; `current_A` is `null` where too few rows carry one. */
function usableRows(trace: ClosingTrace): {
  time_s: Float64Array;
  voltage_V: Float64Array;
  current_A: Float64Array | null;
} {
  const n = trace.time_s.length;
  for (const name of ['voltage_V', 'current_A', 'valveOpening_pct'] as const) {
    if (trace[name].length !== n)
      throw new BackupInputError(`trace.${name}`, 'must be as long as trace.time_s');
  }
  const rows = new Int32Array(n);
  const withCurrent = new Int32Array(n);
  let count = 0;
  let countWithCurrent = 0;
  for (let i = 0; i < n; i++) {
    if (!Number.isFinite(trace.time_s[i])) throw new BackupInputError('trace.time_s', 'must be finite');
    if (i > 0 && !(trace.time_s[i]! > trace.time_s[i - 1]!))
      throw new BackupInputError('trace.time_s', 'must increase strictly');
    if (!Number.isFinite(value(trace.voltage_V, i))) continue;
    rows[count++] = i;
    if (Number.isFinite(value(trace.current_A, i))) withCurrent[countWithCurrent++] = i;
  }
  const enough = countWithCurrent >= 3 && countWithCurrent >= count / 2;
  const kept = enough ? withCurrent : rows;
  const column = (from: ArrayLike<number | null>) =>
    filled(enough ? countWithCurrent : count, (k) => value(from, kept[k]!));
  return {
    time_s: column(trace.time_s),
    voltage_V: column(trace.voltage_V),
    current_A: enough ? column(trace.current_A) : null,
  };
}

interface DriveFigures {
  from: number;
  to: number;
  time_s: number;
  energy_J: number;
  power_W: number;
}

/** Energy by trapezoids over the drive; the two samples at its ends give it half a spacing more each. */
function driveFigures(
  time_s: Float64Array,
  voltage_V: Float64Array,
  current_A: Float64Array,
): DriveFigures | null {
  const drive = longestDrive(time_s, current_A);
  if (!drive || drive.end === drive.start) return null;
  const { start, end } = drive;
  let energy_J = 0;
  for (let i = start + 1; i <= end; i++)
    energy_J +=
      ((voltage_V[i]! * current_A[i]! + voltage_V[i - 1]! * current_A[i - 1]!) / 2) *
      (time_s[i]! - time_s[i - 1]!);
  const between_s = time_s[end]! - time_s[start]!;
  const power_W = energy_J / between_s;
  const lead_s = start > 0 ? (time_s[start]! - time_s[start - 1]!) / 2 : 0;
  const spacing_s = between_s / (end - start);
  const tail_s = end + 1 < time_s.length ? Math.min(spacing_s, time_s[end + 1]! - time_s[end]!) / 2 : 0;
  const extra_s = Math.min(lead_s, spacing_s / 2) + tail_s;
  return {
    from: start,
    to: end,
    time_s: between_s + extra_s,
    energy_J: energy_J + power_W * extra_s,
    power_W,
  };
}

function voltageFigures(time_s: Float64Array, voltage_V: Float64Array, drive: DriveFigures | null) {
  const n = voltage_V.length;
  if (n === 0) return { before_V: null, after_V: null, lowest_V: null };
  let lowest_V = Infinity;
  let highestEarly_V = voltage_V[0]!;
  for (let i = 0; i < n; i++) lowest_V = Math.min(lowest_V, voltage_V[i]!);
  if (drive && drive.from > 0) highestEarly_V = voltage_V[drive.from - 1]!;
  // After the drive and before recharging: the next samples at rest, within ten seconds.
  let after_V = voltage_V[n - 1]!;
  if (drive) {
    after_V = voltage_V[drive.to]!;
    for (let i = drive.to + 1; i < n && time_s[i]! - time_s[drive.to]! <= 10; i++) after_V = voltage_V[i]!;
  }
  return { before_V: highestEarly_V, after_V, lowest_V };
}

function travelFigures(trace: ClosingTrace) {
  const time: number[] = [];
  const opening: number[] = [];
  for (let i = 0; i < trace.time_s.length; i++) {
    const pct = value(trace.valveOpening_pct, i);
    if (!Number.isFinite(pct)) continue;
    time.push(trace.time_s[i]!);
    opening.push(pct);
  }
  const n = opening.length;
  if (n < 2) {
    return {
      before_pct: n === 1 ? opening[0]! : null,
      after_pct: null,
      shut: null,
      timeToShut_s: null,
      sampling_s: null,
    };
  }
  const before_pct = opening[0]!;
  const after_pct = opening[n - 1]!;
  const shut = after_pct <= shutOpening_pct;
  // From the moment that the valve first moves, or from 0 where the trace has a lead.
  let began_s = Math.max(time[0]!, 0);
  for (let i = 1; i < n; i++) {
    if (opening[i]! < before_pct - 0.2) {
      began_s = time[i - 1]!;
      break;
    }
  }
  let timeToShut_s: number | null = null;
  if (shut && before_pct > shutOpening_pct) {
    const first = opening.findIndex((pct) => pct <= shutOpening_pct);
    timeToShut_s = time[first]! - began_s;
  }
  const spacings = time.slice(1).map((t, i) => t - time[i]!);
  spacings.sort((a, b) => a - b);
  return { before_pct, after_pct, shut, timeToShut_s, sampling_s: spacings[spacings.length >> 1]! };
}
