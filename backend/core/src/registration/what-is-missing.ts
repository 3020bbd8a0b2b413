import type { UnitEntry } from '../telemetry/index.js';

/** A fact that is not known, and the judgements that are then not made or rest on an assumption. */
export interface MissingFact {
  /** Path in the draft, e.g. `circuits.0.kv_m3_h`; fields that cost the same are one fact. */
  fields: string[];
  part: { kind: 'unit' } | { kind: 'circuit' | 'module'; number: number };
  /** What is not known. */
  fact: string;
  /** What that costs. */
  cost: string;
}

type Costs = readonly { fields: readonly string[]; fact: string; cost: string }[];

const ofUnit: Costs = [
  {
    fields: ['commissionedOn'],
    fact: 'day of commissioning',
    cost: 'It is not said what is left of the rated life of its valves.',
  },
  {
    fields: ['controllerFirmware'],
    fact: 'firmware of the controller',
    cost: 'The field study does not compare it by firmware, and an update is not noticed.',
  },
];

const ofCircuit: Costs = [
  {
    fields: ['kv_m3_h'],
    fact: 'Kv of the valve',
    cost: 'No advice on the size of the valve, no check of its opening against the flow, and no estimate of the refrigerant that passes it when it stays open.',
  },
  {
    fields: ['valveSize'],
    fact: 'size of the valve in words',
    cost: 'The field study names the valve by its Kv, or not at all.',
  },
  {
    fields: ['fullStroke_steps', 'rate_steps_s'],
    fact: 'steps of the full stroke and steps a second',
    cost: 'The energy of a closing is not known, so no backup module can be registered for this valve.',
  },
  {
    fields: ['suctionMinimum_Pa', 'suctionMaximum_Pa'],
    fact: 'span of the suction transducer',
    cost: 'A reading that sticks at the end of its span may go unnoticed.',
  },
  {
    fields: ['suctionTolerance_Pa', 'suctionTemperatureTolerance_K'],
    fact: 'tolerance of suction transducer or sensor',
    cost: 'The uncertainty of superheat is worked out from usual tolerances: 1 % of the span, class B of IEC 60751.',
  },
  {
    fields: ['dischargeMinimum_Pa', 'dischargeMaximum_Pa', 'dischargeTolerance_Pa'],
    fact: 'span or tolerance of the discharge transducer',
    cost: 'The uncertainty of subcooling is worked out from usual figures, and a reading that sticks at the end of its span may go unnoticed.',
  },
  {
    fields: ['refrigerantCharge_kg'],
    fact: 'refrigerant charge',
    cost: 'Refrigerant that passes a valve left open after a power loss is not limited to what the circuit holds.',
  },
  {
    fields: ['floodbackLimit_K'],
    fact: 'floodback limit',
    cost: 'Floodback is judged at 2 K of superheat.',
  },
  {
    fields: ['safetyMargin_K'],
    fact: 'safety margin over the steady floor',
    cost: 'Headroom is claimed above 1 K over the steady floor.',
  },
];

const ofModule: Costs = [
  {
    fields: ['cellsInSeries'],
    fact: 'cells in series',
    cost: 'A single weak cell is judged by the number of cells at 2.7 V each.',
  },
  {
    fields: ['ratedEsr_Ohm'],
    fact: 'rated series resistance',
    cost: 'Until a closing is sampled finely enough, it is taken as that of a cell with a time constant of 1 s.',
  },
  {
    fields: ['overdrive_pct'],
    fact: 'overdrive',
    cost: 'The energy of a closing is worked out with 10 % beyond full stroke.',
  },
  {
    fields: ['installedOn'],
    fact: 'day of installation',
    cost: 'Its age counts from the day of commissioning, or from its registration.',
  },
];

const noModule: MissingFact = {
  fields: ['modules'],
  part: { kind: 'unit' },
  fact: 'backup module',
  cost: 'None is registered, so it is not judged whether the valves shut when power fails.',
};

/** What is not known of a unit, by its entries' `assumed`, and what that costs. */
export function whatIsMissing(unit: UnitEntry & { assumed?: readonly string[] }): MissingFact[] {
  const missing = (
    costs: Costs,
    assumed: readonly string[] | undefined,
    part: MissingFact['part'],
    place: string,
  ): MissingFact[] =>
    costs.flatMap(({ fields, fact, cost }) => {
      const open = fields.filter((field) => assumed?.includes(field));
      return open.length === 0 ? [] : [{ fields: open.map((field) => place + field), part, fact, cost }];
    });
  return [
    ...missing(ofUnit, unit.assumed, { kind: 'unit' }, ''),
    ...unit.circuits.flatMap((entry, i) =>
      missing(ofCircuit, entry.assumed, { kind: 'circuit', number: entry.number }, `circuits.${i}.`),
    ),
    ...unit.modules.flatMap((entry, i) =>
      missing(ofModule, entry.assumed, { kind: 'module', number: entry.number }, `modules.${i}.`),
    ),
    ...(unit.modules.length === 0 ? [noModule] : []),
  ];
}
