import type { Fault } from './fault.js';

/** How far a fault has gone. */
export const severities = ['slight', 'medium', 'heavy'] as const;
export type Severity = (typeof severities)[number];

/** A fault at three severities, with where these come from. */
export interface FaultLevels {
  name: string;
  levels: Record<Severity, Fault>;
  /** In words, for a report: what each severity is. */
  inWords: string;
  source: string;
  /** What a unit must have for the fault: two circuits, or two valves on one controller. */
  needs?: 'two-circuits' | 'two-valves';
  /** Of the unit as a whole; all others are put into the first circuit. */
  ofUnit?: boolean;
  /** Comes about over weeks as often as at once: it is also told with a slow onset. */
  slow?: boolean;
  /** There since the unit was built: it has no onset, and the unit never ran without it. */
  builtIn?: boolean;
}

/** Comstock & Braun 1999, ASHRAE RP-1043, a centrifugal chiller at four levels of each fault, of which the first three are taken. From memory. */
const rp1043 = 'fault levels 1 to 3 of ASHRAE RP-1043 (Comstock & Braun 1999), from memory';
const judgement = 'judgement, no source';

const three = (slight: Fault, medium: Fault, heavy: Fault): Record<Severity, Fault> => ({
  slight,
  medium,
  heavy,
});

/** A fault whose one number grows. */
const graded = (make: (size: number) => Fault, sizes: readonly [number, number, number]) =>
  three(make(sizes[0]), make(sizes[1]), make(sizes[2]));

const machineFaults: readonly FaultLevels[] = [
  {
    name: 'gas in the circuit',
    levels: graded((share) => ({ kind: 'gas-in-circuit', share }), [0.01, 0.017, 0.024]),
    inWords: '1, 1.7, 2.4 % of the vapour in the condenser',
    source: rp1043,
  },
  {
    name: 'too much refrigerant',
    levels: graded((share) => ({ kind: 'overcharge', share }), [0.1, 0.2, 0.3]),
    inWords: '10, 20, 30 % more than the right charge',
    source: rp1043,
  },
  {
    name: 'refrigerant missing',
    levels: graded((share) => ({ kind: 'undercharge', share }), [0.1, 0.2, 0.3]),
    inWords: '10, 20, 30 % of the charge',
    source: rp1043,
  },
  {
    name: 'condenser fouled, whole unit',
    levels: graded((share) => ({ kind: 'condenser-fouling', share }), [0.12, 0.2, 0.3]),
    inWords: '12, 20, 30 % of the conductance lost',
    source: rp1043,
    ofUnit: true,
  },
  {
    name: 'condenser flow low',
    levels: graded((share) => ({ kind: 'condenser-flow-low', share }), [0.1, 0.2, 0.3]),
    inWords: '10, 20, 30 % less water or air',
    source: rp1043,
    ofUnit: true,
  },
  {
    name: 'evaporator fouled',
    levels: graded((share) => ({ kind: 'evaporator-fouling', share }), [0.12, 0.2, 0.3]),
    inWords: '12, 20, 30 % of the conductance lost',
    source: 'as the condenser: RP-1043 has no fouled evaporator',
    ofUnit: true,
  },
  {
    name: 'evaporator flow low',
    levels: graded((share) => ({ kind: 'evaporator-flow-low', share }), [0.1, 0.2, 0.3]),
    inWords: '10, 20, 30 % less water',
    source: rp1043,
    ofUnit: true,
  },
  {
    name: 'liquid line restricted',
    levels: graded((share) => ({ kind: 'liquid-line-restriction', share }), [0.15, 0.3, 0.5]),
    inWords: '15, 30, 50 % less flow through the fully open valve',
    source: judgement,
  },
  {
    name: 'compressor weak',
    levels: graded((share) => ({ kind: 'compressor-leakage', share }), [0.05, 0.1, 0.2]),
    inWords: '5, 10, 20 % of the drawn volume leaks back',
    source: 'volumetric loss as in the tests of Breuker & Braun 1998, from memory',
  },
];

const valveFaults: readonly FaultLevels[] = [
  {
    name: 'shut valve leaks by',
    levels: graded((share) => ({ kind: 'valve-leaks-by', share }), [0.005, 0.015, 0.04]),
    inWords: '0.5, 1.5, 4 % of the full flow passes the shut valve',
    source: 'one, three and eight times the limit of seat leakage class II (IEC 60534-4), from memory',
  },
  {
    name: 'valve offset after lost steps',
    levels: graded((offset_pct) => ({ kind: 'valve-offset', offset_pct }), [4, 8, 12]),
    inWords: '4, 8, 12 % of stroke less open than counted',
    source: judgement,
  },
  {
    name: 'two valves open unlike',
    levels: graded((lag_pct) => ({ kind: 'tandem-mismatch', lag_pct }), [8, 16, 30]),
    inWords: 'the second valve 8, 16, 30 % of stroke behind the first',
    source: judgement,
    needs: 'two-valves',
  },
  {
    name: 'valve sticks',
    levels: graded((stick_pct) => ({ kind: 'valve-friction', stick_pct }), [2, 4, 6]),
    inWords: 'the stem follows after 2, 4, 6 % of stroke',
    source: judgement,
  },
  {
    name: 'valve too large',
    levels: graded((factor) => ({ kind: 'valve-too-large', factor }), [3, 6, 9]),
    inWords: '3, 6, 9 times the fitting size',
    source: judgement,
    builtIn: true,
  },
];

const loopFaults: readonly FaultLevels[] = [
  {
    name: 'loop tuned too hard',
    levels: three(
      { kind: 'loop-tuned-too-hard', gain: 2.2, integralTime: 0.45 },
      { kind: 'loop-tuned-too-hard', gain: 3, integralTime: 0.35 },
      { kind: 'loop-tuned-too-hard', gain: 4, integralTime: 0.25 },
    ),
    inWords: '2.2, 3, 4 times the gain at 0.45, 0.35, 0.25 of the integral time',
    source: judgement,
  },
  {
    name: 'setpoint under the steady floor',
    levels: graded((setpoint_K) => ({ kind: 'setpoint', setpoint_K }), [3.4, 2.9, 2.4]),
    inWords: 'superheat setpoint 3.4, 2.9, 2.4 K, the floor being at about 4 K',
    source: judgement,
  },
  {
    name: 'load swings',
    levels: graded((amplitude_K) => ({ kind: 'load-swing', amplitude_K }), [1.5, 2, 2.5]),
    inWords: 'entering water swings by 1.5, 2, 2.5 K either way',
    source: judgement,
    ofUnit: true,
  },
  {
    name: 'circuits disturb each other',
    levels: graded((exchange) => ({ kind: 'circuits-disturbing', exchange }), [4, 6, 8]),
    inWords: 'coupling of 4, 6, 8',
    source: judgement,
    needs: 'two-circuits',
    ofUnit: true,
  },
];

const sensorFaults: readonly FaultLevels[] = [
  {
    name: 'suction thermometer reads wrong',
    levels: graded((bias) => ({ kind: 'sensor-bias', sensor: 'suction-temperature', bias }), [1.5, 2.5, 4]),
    inWords: '1.5, 2.5, 4 K high, the controller following it',
    source: judgement,
  },
  {
    name: 'discharge transducer reads wrong',
    levels: graded((bias) => ({ kind: 'sensor-bias', sensor: 'discharge-pressure', bias }), [3e4, 6e4, 1e5]),
    inWords: '0.3, 0.6, 1 bar high',
    source: judgement,
  },
  {
    name: 'noisy measurement',
    levels: three(
      { kind: 'measurement-noise', pressure_Pa: 8000, temperature_K: 0.15 },
      { kind: 'measurement-noise', pressure_Pa: 15_000, temperature_K: 0.3 },
      { kind: 'measurement-noise', pressure_Pa: 25_000, temperature_K: 0.5 },
    ),
    inWords: '0.08, 0.15, 0.25 bar and 0.15, 0.3, 0.5 K, standard deviation',
    source: judgement,
  },
  {
    name: 'sensors swapped between circuits',
    levels: three(
      { kind: 'sensors-swapped-between-circuits', sensor: 'liquid-temperature' },
      { kind: 'sensors-swapped-between-circuits', sensor: 'suction-temperature' },
      { kind: 'sensors-swapped-between-circuits', sensor: 'suction-pressure' },
    ),
    inWords: 'liquid thermometers, suction thermometers, suction transducers',
    source: judgement,
    needs: 'two-circuits',
    ofUnit: true,
  },
  {
    name: 'clock of a gateway drifts',
    levels: graded((perDay_s) => ({ kind: 'clock-drift', perDay_s }), [10, 60, 300]),
    inWords: '10 s, 1 min, 5 min a day',
    source: judgement,
    ofUnit: true,
  },
];

/** Every fault of a circuit or a unit that can be switched on, at three severities. */
export const faultLevels: readonly FaultLevels[] = [
  ...machineFaults.map((fault) => ({ ...fault, slow: true })),
  ...valveFaults,
  ...loopFaults,
  ...sensorFaults,
];
