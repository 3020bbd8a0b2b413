import type { PlateauDepartures } from '../../normal/departures/departures.js';
import type { CircuitNormal } from '../../normal/learning/circuit-normal.js';
import type { Plateau } from '../../normal/plateaus/find-plateaus.js';
import type { Machine } from '../../normal/quantities/machine.js';
import { superheatSeries } from '../../superheat/index.js';
import type { SteadyFloor } from '../../steadiness/circuit-assessment.js';
import type { WindowJudgement } from '../../steadiness/windows/window-judgement.js';
import type { CircuitSeries } from '../../telemetry/circuit-series.js';
import type { CircuitEntry } from '../../telemetry/registry.js';
import type { Advice } from '../advice/advice.js';
import { chargeAdvice } from '../advice/charge-advice.js';
import type { SwingRecord } from '../advice/loop/identify-loop.js';
import { loopAdvice, swingingLoops, type SwingingLoop } from '../advice/loop/loop-advice.js';
import { setpointAdvice, setpointOverFloorAdvice } from '../advice/setpoint-advice.js';
import { valveSizeAdvice } from '../advice/valve-size-advice.js';
import type { Cause } from '../cause.js';

/** What advice on a circuit is worked out from. */
export interface AdviceContext {
  circuit: Pick<CircuitEntry, 'safetyMargin_K'>;
  machine: Machine;
  floor: SteadyFloor | null;
  /** Windows that swing, over the loads seen. */
  swings: readonly SwingRecord[];
  plateaus: readonly Plateau[];
  normal: CircuitNormal | null;
  /** The plateaus that still depart from normal. */
  over: readonly PlateauDepartures[];
}

/** What is advised for each cause that a circuit may have. */
export type CircuitAdvice = Partial<Record<Cause, Advice>>;

const advised: readonly Cause[] = [
  'loop-tuned-too-hard',
  'valve-too-large',
  'valve-too-small',
  'setpoint-under-steady-floor',
  'setpoint-too-high',
  'missing-refrigerant',
  'excess-refrigerant',
];

/** All that can be advised on a circuit, by the cause that it would end. */
export function adviceOn(context: AdviceContext): CircuitAdvice {
  // A loop is identified once for all causes.
  const loops = swingingLoops(context.swings);
  return Object.fromEntries(
    advised.flatMap((cause) => {
      const advice = adviceBy(cause, context, () => loops);
      return advice === null ? [] : [[cause, advice]];
    }),
  );
}

/** What could be set or fitted otherwise to end a cause; null where there is nothing of the kind, or it could not be computed. */
export const adviceFor = (cause: Cause, context: AdviceContext): Advice | null =>
  adviceBy(cause, context, () => swingingLoops(context.swings));

function adviceBy(
  cause: Cause,
  { circuit, machine, floor, plateaus, normal, over }: AdviceContext,
  loops: () => readonly SwingingLoop[],
): Advice | null {
  switch (cause) {
    case 'loop-tuned-too-hard':
      return loopAdvice(loops());
    case 'valve-too-large':
    case 'valve-too-small':
      return valveSizeAdvice(machine, plateaus, loops);
    case 'setpoint-under-steady-floor':
      return setpointOverFloorAdvice(floor, circuit.safetyMargin_K);
    case 'setpoint-too-high':
      return setpointAdvice(floor, circuit.safetyMargin_K);
    case 'missing-refrigerant':
    case 'excess-refrigerant':
      return normal === null ? null : chargeAdvice(normal, over, cause);
    default:
      return null;
  }
}

/** Loops are identified in this many windows at most, of the newest days that swing. */
const mostSwings = 3;
const newest_s = 3 * 86_400;

/**
 * Windows that hunt most of their steady time, of the newest days: those at the lowest, middle and highest load (or opening),
 * as what the valve does goes with the load.
 */
export function swingingWindows(windows: readonly WindowJudgement[]): WindowJudgement[] {
  const swinging = windows.filter(
    ({ oscillation }) =>
      oscillation.oscillating === true &&
      oscillation.period_s !== null &&
      oscillation.huntingMinutes > 0.5 * oscillation.judgedMinutes,
  );
  const last_s = swinging[swinging.length - 1]?.to_s ?? 0;
  const at = ({ conditions }: WindowJudgement) =>
    conditions.compressorLoad_pct ?? conditions.valveOpening_pct ?? 0;
  const recent = swinging.filter(({ to_s }) => to_s > last_s - newest_s);
  // A window with a stop in it is short of cycles.
  const whole = recent.filter(({ oscillation }) => oscillation.judgedMinutes >= 90);
  const ordered = (whole.length >= mostSwings ? whole : recent).sort((a, b) => at(a) - at(b));
  if (ordered.length <= mostSwings) return ordered;
  return [ordered[0], ordered[ordered.length >> 1], ordered[ordered.length - 1]];
}

/** A window that swings as superheat and opening. Throws UnknownRefrigerantError. */
export const swingRecord = (
  { oscillation }: WindowJudgement,
  series: CircuitSeries,
  refrigerant: string,
): SwingRecord => ({
  time_s: series.time_s,
  superheat_K: superheatSeries(refrigerant, series),
  valveOpening_pct: series.valveOpening_pct,
  period_s: oscillation.period_s!,
});
