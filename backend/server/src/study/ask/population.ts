import type { FleetCircuit, FleetModule, FleetUnit } from '../../registry/fleet.js';
import type { Question, Subject } from './question.js';

/** One of those asked of: a circuit, a module, or a sensor of a circuit. */
export interface Member {
  unit: FleetUnit;
  /** Number of the circuit or module within the unit. */
  number: number;
  circuit: FleetCircuit | null;
  module: FleetModule | null;
  sensor: string | null;
}

export const sensorKinds = [
  'suction-pressure',
  'suction-temperature',
  'discharge-pressure',
  'discharge-temperature',
  'liquid-temperature',
] as const;

type Field = (member: Member) => string;

const capacityBands_kW = [50, 100, 200, 500, 1000];

function capacityBand(capacity_W: number): string {
  const above = capacityBands_kW.findIndex((limit_kW) => capacity_W < limit_kW * 1000);
  if (above === 0) return `under ${capacityBands_kW[0]} kW`;
  return above === -1
    ? `${capacityBands_kW.at(-1)} kW and more`
    : `${capacityBands_kW[above - 1]} to under ${capacityBands_kW[above]} kW`;
}

const ofUnit = {
  site: ({ unit }) => unit.site.key,
  climate: ({ unit }) => unit.site.climate,
  region: ({ unit }) => unit.site.region ?? 'no region',
  unit: ({ unit }) => `${unit.site.key}/${unit.key}`,
  refrigerant: ({ unit }) => unit.refrigerant,
  condenser: ({ unit }) => unit.condenser,
  evaporator: ({ unit }) => unit.evaporator,
  firmware: ({ unit }) => unit.controllerFirmware,
  'year commissioned': ({ unit }) => unit.commissionedOn?.slice(0, 4) ?? 'not known',
  'nominal capacity': ({ unit }) => capacityBand(unit.nominalCapacity_W),
  reversible: ({ unit }) => (unit.reversible ? 'reversible' : 'cooling only'),
  'backup module': ({ unit }) => (unit.modules.length > 0 ? 'with' : 'without'),
} satisfies Record<string, Field>;

const ofCircuit = {
  'valve size': ({ circuit }) => circuit!.entry.valve.size,
  'valve motors': ({ circuit }) => String(circuit!.entry.valve.motors),
  'valve stroke': ({ circuit }) => `${circuit!.entry.valve.fullStroke_steps} steps`,
  'rated life': ({ circuit }) => (circuit!.entry.valve.ratedLife === undefined ? 'assumed' : 'by the maker'),
  compressor: ({ circuit }) => circuit!.entry.compressor?.kind ?? 'not known',
  'suction transducer': ({ circuit }) => circuit!.entry.suctionPressure.reference,
} satisfies Record<string, Field>;

/** Fields of the registry by which a population is chosen and divided. */
export const fieldsOf: Record<Subject, Readonly<Record<string, Field>>> = {
  circuits: { ...ofUnit, ...ofCircuit },
  sensors: { sensor: ({ sensor }) => sensor!, ...ofUnit, ...ofCircuit },
  modules: {
    ...ofUnit,
    rating: ({ module }) => `${module!.entry.ratedCapacitance_F} F, ${module!.entry.ratedVoltage_V} V`,
    'year installed': ({ module }) => module!.entry.installedOn.slice(0, 4),
    'valves shut': ({ module }) => String(module!.entry.circuits.length),
    'cells in series': ({ module }) => String(module!.entry.cellsInSeries),
  },
};

const membersOf: Record<Subject, (unit: FleetUnit) => Member[]> = {
  circuits: (unit) =>
    unit.circuits.map((circuit) => ({ unit, number: circuit.number, circuit, module: null, sensor: null })),
  modules: (unit) =>
    unit.modules.map((module) => ({ unit, number: module.number, circuit: null, module, sensor: null })),
  sensors: (unit) =>
    unit.circuits.flatMap((circuit) =>
      sensorKinds.map((sensor) => ({ unit, number: circuit.number, circuit, module: null, sensor })),
    ),
};

/** Those of the fleet that a question is of, in the order of their names. */
export function population(
  units: readonly FleetUnit[],
  question: Pick<Question, 'of' | 'where' | 'sites'>,
): Member[] {
  const { of, where, sites } = question;
  const fields = fieldsOf[of];
  return units
    .filter(({ site }) => sites === null || sites.includes(site.key))
    .flatMap(membersOf[of])
    .filter((member) => where.every(({ field, values }) => values.includes(fields[field]!(member))));
}

export const nameOf = ({ unit, number, circuit, module, sensor }: Member) => ({
  site: unit.site.key,
  unit: unit.key,
  circuit: circuit === null ? null : number,
  module: module === null ? null : number,
  sensor,
});
