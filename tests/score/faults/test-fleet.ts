import { defaultStart_s, type CircuitCase, type FaultLevels } from '@coldrounds/simulator';

/** How much of its own a unit sends. */
export type Telemetry = 'everything' | 'no power, no condenser flow' | 'no condenser side, no power';

/** A simulated unit that faults are put into. */
export interface TestUnit {
  /** In words, for a report. */
  name: string;
  telemetry: Telemetry;
  case: CircuitCase;
}

/** What a fault needs of its unit beside what that unit is. */
export type Build = 'plain' | 'two-circuits' | 'two-valves' | 'coupled';

const kinds: {
  refrigerant: string;
  condenser: 'air' | 'water';
  circuits: 1 | 2;
  capacity_W: number;
  telemetry: Telemetry;
  capacityControl?: 'stages';
}[] = [
  { refrigerant: 'R134a', condenser: 'water', circuits: 1, capacity_W: 320e3, telemetry: 'everything' },
  { refrigerant: 'R410A', condenser: 'air', circuits: 1, capacity_W: 120e3, telemetry: 'everything' },
  { refrigerant: 'R1234ze(E)', condenser: 'water', circuits: 2, capacity_W: 280e3, telemetry: 'everything' },
  { refrigerant: 'R454B', condenser: 'air', circuits: 2, capacity_W: 140e3, telemetry: 'everything' },
  {
    refrigerant: 'R513A',
    condenser: 'water',
    circuits: 1,
    capacity_W: 260e3,
    telemetry: 'no power, no condenser flow',
  },
  {
    refrigerant: 'R407C',
    condenser: 'air',
    circuits: 1,
    capacity_W: 100e3,
    telemetry: 'no power, no condenser flow',
  },
  {
    refrigerant: 'R32',
    condenser: 'air',
    circuits: 2,
    capacity_W: 90e3,
    telemetry: 'everything',
    capacityControl: 'stages',
  },
  {
    refrigerant: 'R134a',
    condenser: 'water',
    circuits: 2,
    capacity_W: 350e3,
    telemetry: 'no condenser side, no power',
  },
];

/** Columns that each kind of site does not send. */
const notSent: Record<Telemetry, NonNullable<CircuitCase['notSent']>> = {
  everything: [],
  'no power, no condenser flow': ['compressorPower_W', 'condenserFlow_m3_s', 'waterFlow_m3_s'],
  'no condenser side, no power': [
    'compressorPower_W',
    'condenserEnteringTemperature_K',
    'condenserLeavingTemperature_K',
    'condenserFlow_m3_s',
    'condenserFanSpeed_pct',
  ],
};

const day_s = 86_400;

/** Unit `index` of a seed's fleet. The kinds repeat every eight units, with other machines, loads and weather. */
export function testUnit(seed: number, index: number, build: Build = 'plain'): TestUnit {
  const pairs = build === 'two-circuits' || build === 'coupled';
  const own = pairs ? kinds.filter(({ circuits }) => circuits === 2) : kinds;
  const { telemetry, ...kind } = own[index % own.length]!;
  const unitSeed = (seed * 1000 + index * 7 + 1) % 2 ** 31;
  // Some week between spring and autumn.
  const start_s = defaultStart_s + (((unitSeed * 37) % 18) - 8) * 7 * day_s;
  return {
    name: `${kind.refrigerant}, ${kind.condenser}-cooled, ${kind.circuits === 2 ? 'two circuits' : 'one circuit'}`,
    telemetry,
    case: {
      ...kind,
      seed: unitSeed,
      start_s,
      notSent: notSent[telemetry],
      ...(build === 'two-valves' ? { design: { motors: 2 as const } } : {}),
      // Circuits of one make; they exchange heat only once the fault is there.
      ...(build === 'coupled'
        ? { faults: [{ kind: 'circuits-disturbing' as const, sinceDaysAgo: -1000 }] }
        : {}),
    },
  };
}

export const buildFor = ({ needs, levels }: FaultLevels): Build =>
  levels.slight.kind === 'circuits-disturbing' ? 'coupled' : (needs ?? 'plain');
