/** What goes wrong, where and when. Times are relative to "now", so that a demo is always fresh. */
export type SensorName =
  | 'suction-pressure'
  | 'suction-temperature'
  | 'discharge-pressure'
  | 'discharge-temperature'
  | 'liquid-temperature';

interface Scheduled {
  /** Circuit number; faults of the unit as a whole leave it out. */
  circuit?: number;
  /** Began this many days before now; left out: always there. */
  sinceDaysAgo?: number;
  /** Ended this many days before now; left out: still there. */
  untilDaysAgo?: number;
}

export type Fault = Scheduled &
  (
    | { kind: 'loop-tuned-too-hard'; gain?: number; integralTime?: number }
    | { kind: 'valve-too-large'; factor?: number }
    | { kind: 'valve-friction'; stick_pct?: number; slip_pct?: number }
    | { kind: 'lost-steps'; backlash_pct?: number; stick_pct?: number; offset_pct?: number }
    | { kind: 'load-swing'; amplitude_K?: number; period_s?: number }
    | { kind: 'circuits-disturbing'; exchange?: number; gain?: number; integralTime?: number }
    | { kind: 'setpoint'; setpoint_K: number }
    | { kind: 'measurement-noise'; pressure_Pa?: number; temperature_K?: number }
    | { kind: 'undercharge'; share: number }
    | { kind: 'condenser-fouling'; share: number }
    | { kind: 'liquid-line-restriction'; share: number }
    | { kind: 'sensor-bias'; sensor: SensorName; bias: number }
    | { kind: 'transducers-swapped' }
    | { kind: 'gauge-taken-for-absolute'; sensor: 'suction-pressure' | 'discharge-pressure' | 'both' }
    | { kind: 'wrong-refrigerant'; actual: string }
    | { kind: 'value-frozen'; sensor: SensorName }
    | { kind: 'value-jumping'; sensor: SensorName; size: number; perHour?: number }
    | { kind: 'value-clipped'; sensor: SensorName; maximum: number }
    | { kind: 'value-noisy'; sensor: SensorName; spread: number }
    | { kind: 'sensor-loose'; sensor: SensorName; share?: number }
  );

export type FaultKind = Fault['kind'];

/** Whether a fault is there at a time. */
export const isActive = (fault: Scheduled, time_s: number, now_s: number): boolean =>
  (fault.sinceDaysAgo === undefined || time_s >= now_s - fault.sinceDaysAgo * 86_400) &&
  (fault.untilDaysAgo === undefined || time_s < now_s - fault.untilDaysAgo * 86_400);
