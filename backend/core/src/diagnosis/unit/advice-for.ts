import type { PlateauDepartures } from '../../normal/departures/departures.js';
import type { CircuitNormal } from '../../normal/learning/circuit-normal.js';
import type { Plateau } from '../../normal/plateaus/find-plateaus.js';
import type { Machine } from '../../normal/quantities/machine.js';
import { superheatSeries } from '../../superheat/index.js';
import type { CircuitEntry } from '../../telemetry/registry.js';
import type { Advice } from '../advice/advice.js';
import { chargeAdvice } from '../advice/charge-advice.js';
import type { SwingRecord } from '../advice/loop/identify-loop.js';
import { loopGainAdvice } from '../advice/loop/loop-advice.js';
import { setpointAdvice } from '../advice/setpoint-advice.js';
import { valveSizeAdvice } from '../advice/valve-size-advice.js';
import type { Cause } from '../cause.js';
import { sliceSeries, type CircuitFindings, type PreparedCircuit } from './circuit-findings-of.js';

/** What advice on a circuit is worked out from. */
export interface AdviceContext {
  circuit: CircuitEntry;
  machine: Machine;
  prepared: PreparedCircuit;
  judged: CircuitFindings;
  plateaus: readonly Plateau[];
  normal: CircuitNormal | null;
  /** The plateaus that still depart from normal. */
  over: readonly PlateauDepartures[];
}

/** Loops are identified in the newest windows that swing, this many at most. */
const mostSwings = 3;

/** What could be set or fitted otherwise to end a cause; null where there is nothing of the kind, or it could not be computed. */
export function adviceFor(cause: Cause, context: AdviceContext): Advice | null {
  const { circuit, machine, judged, plateaus, normal, over } = context;
  switch (cause) {
    case 'loop-tuned-too-hard':
      return swingsOf(context).reduce<Advice | null>((found, swing) => found ?? loopGainAdvice(swing), null);
    case 'valve-too-large':
    case 'valve-too-small':
      return valveSizeAdvice(machine, plateaus);
    case 'setpoint-under-steady-floor':
    case 'setpoint-too-high':
      return setpointAdvice(judged.floor, circuit.safetyMargin_K);
    case 'missing-refrigerant':
    case 'excess-refrigerant':
      return normal === null ? null : chargeAdvice(normal, over, cause);
    default:
      return null;
  }
}

/** The newest windows that hunt most of their steady time, as superheat and opening. */
function swingsOf({ machine, prepared, judged }: AdviceContext): SwingRecord[] {
  const swinging = judged.windows.filter(
    ({ oscillation }) =>
      oscillation.oscillating === true &&
      oscillation.period_s !== null &&
      oscillation.huntingMinutes > 0.5 * oscillation.judgedMinutes,
  );
  return swinging
    .slice(-mostSwings)
    .reverse()
    .map((window) => {
      const series = sliceSeries(prepared.series, window.from_s, window.to_s);
      return {
        time_s: series.time_s,
        superheat_K: superheatSeries(machine.refrigerant, series),
        valveOpening_pct: series.valveOpening_pct,
        period_s: window.oscillation.period_s!,
      };
    });
}
