import type { CircuitDraft, ModuleDraft, UnitDraft } from '../../../api/registry/registry.js';
import type { Measures } from '../../../quantities/unit-system.js';
import { numberOf as number, textOf, wordsOf as words, type FieldKind } from './kinds.js';

type NumberOf<Draft> = {
  [Name in keyof Draft]-?: Exclude<Draft[Name], null> extends number ? Name : never;
}[keyof Draft];

interface NumberField<Name extends string> {
  name: Name;
  words: string;
  kind: FieldKind;
  /** Of a plain number. */
  unit?: string;
  required?: true;
  whole?: true;
}

type CircuitNumber = Exclude<NumberOf<CircuitDraft>, 'number' | 'motors'>;
type ModuleNumber = Exclude<NumberOf<ModuleDraft>, 'number'>;

/** What a circuit's form asks for, in its order. */
export const circuitFields: readonly NumberField<CircuitNumber>[] = [
  { name: 'kv_m3_h', words: 'Flow coefficient of one valve', kind: 'flow-coefficient' },
  { name: 'fullStroke_steps', words: 'Full stroke of the valve', kind: 'plain', unit: 'steps', whole: true },
  { name: 'rate_steps_s', words: 'Speed of its motor', kind: 'plain', unit: 'steps/s' },
  { name: 'refrigerantCharge_kg', words: 'Refrigerant charge', kind: 'mass' },
  { name: 'suctionMinimum_Pa', words: 'Suction transducer from', kind: 'pressure' },
  { name: 'suctionMaximum_Pa', words: 'Suction transducer to', kind: 'pressure' },
  { name: 'suctionTolerance_Pa', words: 'Suction transducer ±', kind: 'pressure' },
  { name: 'dischargeMinimum_Pa', words: 'Discharge transducer from', kind: 'pressure' },
  { name: 'dischargeMaximum_Pa', words: 'Discharge transducer to', kind: 'pressure' },
  { name: 'dischargeTolerance_Pa', words: 'Discharge transducer ±', kind: 'pressure' },
  {
    name: 'suctionTemperatureTolerance_K',
    words: 'Suction temperature sensor ±',
    kind: 'temperature-difference',
  },
  { name: 'floodbackLimit_K', words: 'Floodback limit', kind: 'temperature-difference' },
  { name: 'safetyMargin_K', words: 'Safety margin over the steady floor', kind: 'temperature-difference' },
];

/** What a backup module's form asks for, in its order. */
export const moduleFields: readonly NumberField<ModuleNumber>[] = [
  { name: 'ratedVoltage_V', words: 'Rated voltage', kind: 'plain', unit: 'V', required: true },
  { name: 'minimumVoltage_V', words: 'Converter works down to', kind: 'plain', unit: 'V', required: true },
  { name: 'ratedCapacitance_F', words: 'Rated capacitance', kind: 'plain', unit: 'F', required: true },
  { name: 'drivePower_W', words: 'Drive power of one motor', kind: 'plain', unit: 'W', required: true },
  { name: 'cellsInSeries', words: 'Cells in series', kind: 'plain', whole: true },
  { name: 'ratedEsr_Ohm', words: 'Rated series resistance', kind: 'plain', unit: 'Ω' },
  { name: 'overdrive_pct', words: 'Overdrive beyond full stroke', kind: 'plain', unit: '%' },
];

type Reference = CircuitDraft['suctionReference'];

export type CircuitValues = Record<CircuitNumber, string> & {
  number: number;
  suctionReference: Reference | '';
  dischargeReference: Reference | '';
  valveSize: string;
  motors: 1 | 2;
};
export type ModuleValues = Record<ModuleNumber, string> & {
  number: number;
  circuits: number[];
  installedOn: string;
};

/** A unit as its form holds it: numbers as they are typed, nothing typed for what is not known. */
export interface UnitValues {
  key: string;
  name: string;
  refrigerant: string;
  capacity: string;
  condenser: UnitDraft['condenser'] | '';
  evaporator: UnitDraft['evaporator'];
  reversible: boolean;
  reporting: NonNullable<UnitDraft['reporting']> | '';
  commissionedOn: string;
  controllerFirmware: string;
  circuits: CircuitValues[];
  modules: ModuleValues[];
}

const nothing = <Name extends string>(fields: readonly NumberField<Name>[]) =>
  Object.fromEntries(fields.map(({ name }) => [name, ''])) as Record<Name, string>;

export const emptyCircuit = (number: number, reference: Reference | ''): CircuitValues => ({
  ...nothing(circuitFields),
  ...{ number, suctionReference: reference, dischargeReference: reference, valveSize: '', motors: 1 },
});

export const emptyModule = (number: number, circuits: number[]): ModuleValues => ({
  ...nothing(moduleFields),
  ...{ number, circuits, installedOn: '' },
});

export const emptyUnit = (): UnitValues => ({
  ...{ key: '', name: '', refrigerant: '', capacity: '', condenser: '', evaporator: 'dry-expansion' },
  ...{ reversible: false, reporting: '', commissionedOn: '', controllerFirmware: '' },
  circuits: [emptyCircuit(1, '')],
  modules: [],
});

/** `Roof, chiller 2` as topics can have it: `roof-chiller-2`. */
export const keyOf = (name: string): string =>
  name
    .normalize('NFKD')
    .replace(/\p{M}/gu, '')
    .toLowerCase()
    .replace(/[^a-z0-9]+/g, '-')
    .replace(/^-+|-+$/g, '')
    .slice(0, 63);

export function valuesOf(draft: UnitDraft, measures: Measures): UnitValues {
  const texts = <Name extends string>(
    fields: readonly NumberField<Name>[],
    of: Record<Name, number | null>,
  ) =>
    Object.fromEntries(fields.map(({ name, kind }) => [name, textOf(of[name], kind, measures)])) as Record<
      Name,
      string
    >;
  return {
    key: draft.key,
    name: draft.name,
    refrigerant: draft.refrigerant,
    capacity: textOf(draft.nominalCapacity_W, 'capacity', measures),
    condenser: draft.condenser,
    evaporator: draft.evaporator,
    reversible: draft.reversible,
    reporting: draft.reporting ?? '',
    commissionedOn: draft.commissionedOn ?? '',
    controllerFirmware: draft.controllerFirmware ?? '',
    circuits: draft.circuits.map((circuit) => ({
      ...texts(circuitFields, circuit),
      ...{ number: circuit.number, motors: circuit.motors, valveSize: circuit.valveSize ?? '' },
      ...{ suctionReference: circuit.suctionReference, dischargeReference: circuit.dischargeReference },
    })),
    modules: draft.modules.map((module) => ({
      ...texts(moduleFields, module),
      ...{ number: module.number, circuits: module.circuits, installedOn: module.installedOn ?? '' },
    })),
  };
}

/** Where something that has to be said is missing or no number, in words. */
type Trouble = string;

/**
 * What is typed as a draft, or what is still missing. A number that was not touched keeps its exact value of `before`,
 * whatever unit it is shown in.
 */
export function draftOf(
  values: UnitValues,
  measures: Measures,
  before: UnitDraft | null,
): UnitDraft | Trouble {
  const { refrigerant, condenser } = values;
  const name = values.name.trim();
  if (name === '') return 'The unit needs a name.';
  if (refrigerant === '') return 'Which refrigerant is in it?';
  if (condenser === '') return 'Is it air-cooled or water-cooled?';
  const capacity = number(values.capacity, 'capacity', measures, before?.nominalCapacity_W ?? null);
  if (capacity === null || !(capacity > 0)) return 'The cooling capacity is missing or no number.';
  const circuits: CircuitDraft[] = [];
  for (const circuit of values.circuits) {
    const made = circuitOf(
      circuit,
      measures,
      before?.circuits.find((old) => old.number === circuit.number),
    );
    if (typeof made === 'string') return made;
    circuits.push(made);
  }
  const modules: ModuleDraft[] = [];
  for (const module of values.modules) {
    const made = moduleOf(
      module,
      measures,
      before?.modules.find((old) => old.number === module.number),
    );
    if (typeof made === 'string') return made;
    modules.push(made);
  }
  return {
    ...{ key: values.key === '' ? keyOf(name) : values.key, name, refrigerant, condenser, circuits, modules },
    ...{ nominalCapacity_W: capacity, evaporator: values.evaporator, reversible: values.reversible },
    reporting: values.reporting === '' ? null : values.reporting,
    commissionedOn: values.commissionedOn === '' ? null : values.commissionedOn,
    controllerFirmware: words(values.controllerFirmware),
  };
}

function numbers<Name extends string>(
  fields: readonly NumberField<Name>[],
  values: Record<Name, string>,
  measures: Measures,
  before: Record<Name, number | null> | undefined,
  what: string,
): Record<Name, number | null> | Trouble {
  const read = {} as Record<Name, number | null>;
  for (const { name, words: label, kind, required, whole } of fields) {
    const value = number(values[name], kind, measures, before?.[name] ?? null);
    if (value === null && required) return `${what}: "${label}" is missing.`;
    if (value !== null && !Number.isFinite(value)) return `${what}: "${label}" is no number.`;
    if (value !== null && whole && !Number.isInteger(value)) return `${what}: "${label}" is a whole number.`;
    read[name] = value;
  }
  return read;
}

function circuitOf(
  values: CircuitValues,
  measures: Measures,
  before: CircuitDraft | undefined,
): CircuitDraft | Trouble {
  const what = `Circuit ${values.number}`;
  const { suctionReference, dischargeReference } = values;
  if (suctionReference === '' || dischargeReference === '')
    return 'Do the pressure transducers read gauge or absolute pressure?';
  const read = numbers(circuitFields, values, measures, before, what);
  if (typeof read === 'string') return read;
  return {
    ...read,
    ...{ number: values.number, suctionReference, dischargeReference, motors: values.motors },
    valveSize: words(values.valveSize),
  };
}

function moduleOf(
  values: ModuleValues,
  measures: Measures,
  before: ModuleDraft | undefined,
): ModuleDraft | Trouble {
  const what = `Backup module ${values.number}`;
  if (values.circuits.length === 0) return `${what}: which valves does it shut?`;
  const read = numbers(moduleFields, values, measures, before, what);
  if (typeof read === 'string') return read;
  return {
    // None that is required is missing.
    ...(read as Pick<ModuleDraft, ModuleNumber>),
    ...{ number: values.number, circuits: values.circuits },
    installedOn: values.installedOn === '' ? null : values.installedOn,
  };
}
