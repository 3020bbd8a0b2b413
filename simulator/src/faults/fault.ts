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
  /** Grows evenly from nothing to its full size over so many days; left out: all at once. */
  growsOverDays?: number;
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
    | { kind: 'overcharge'; share: number }
    /** Gas that does not condense, as a share of what the condenser holds as vapour. */
    | { kind: 'gas-in-circuit'; share: number }
    | { kind: 'condenser-fouling'; share: number }
    | { kind: 'condenser-flow-low'; share: number }
    | { kind: 'evaporator-fouling'; share: number }
    | { kind: 'evaporator-flow-low'; share: number }
    /** Share of the drawn volume that leaks back inside the compressor. */
    | { kind: 'compressor-leakage'; share: number }
    /** Share of the fully open valve's flow that passes the shut one. */
    | { kind: 'valve-leaks-by'; share: number }
    /** After lost steps the stem stands this much lower than the steps say. */
    | { kind: 'valve-offset'; offset_pct: number }
    /** Of two valves on one controller the second stands this much lower than the first. */
    | { kind: 'tandem-mismatch'; lag_pct: number }
    | { kind: 'liquid-line-restriction'; share: number }
    | { kind: 'sensor-bias'; sensor: SensorName; bias: number }
    | { kind: 'transducers-swapped' }
    /** One sensor of each of two circuits is wired to the other circuit's input. */
    | { kind: 'sensors-swapped-between-circuits'; sensor: SensorName }
    /** The clock of the circuits' gateway runs fast against that of the water's. */
    | { kind: 'clock-drift'; perDay_s: number }
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

/** How much of its full size a fault has at a time, 0 to 1. */
export function strengthAt(fault: Scheduled, time_s: number, now_s: number): number {
  if (!isActive(fault, time_s, now_s)) return 0;
  if (!fault.growsOverDays || fault.sinceDaysAgo === undefined) return 1;
  const since_s = time_s - (now_s - fault.sinceDaysAgo * 86_400);
  return Math.min(1, since_s / (fault.growsOverDays * 86_400));
}
