import type { CircuitDraft, ModuleDraft, UnitDraft } from '../draft.js';
import { pascalPerPsi, wattPerTonOfRefrigeration } from '../../units/index.js';

/** What a cell holds, and for numbers what one of the unit in its header is in SI. */
export type CellKind =
  | { kind: 'text' }
  | { kind: 'key' }
  | { kind: 'date' }
  | { kind: 'yes-no' }
  | { kind: 'choice'; of: Record<string, string> }
  | { kind: 'number'; units: Record<string, number>; whole?: true };

export interface TableColumn {
  /** Which part of the registry the cell belongs to, and the name that a draft has for it. */
  part: 'site' | 'unit' | 'circuit' | 'module';
  field: string;
  /** Head of the column in an export; with the unit in square brackets. */
  head: string;
  cell: CellKind;
  /** No unit can be made without it. */
  required?: true;
  /** Other words by which a head is recognised, in small letters. */
  also: readonly string[];
}

const plain = (unit: string) => ({ kind: 'number' as const, units: { [unit]: 1 } });
const pressure = {
  kind: 'number' as const,
  units: { bar: 1e5, kPa: 1e3, MPa: 1e6, Pa: 1, psi: pascalPerPsi },
};
const difference = { kind: 'number' as const, units: { K: 1, '°F': 1 / 1.8 } };
const reads = { kind: 'choice' as const, of: { gauge: 'gauge', absolute: 'absolute', abs: 'absolute' } };

const unit = (
  field: keyof UnitDraft,
  head: string,
  cell: CellKind,
  also: readonly string[],
  required?: true,
): TableColumn => ({ part: 'unit', field, head, cell, also, required });
const circuit = (
  field: keyof CircuitDraft,
  head: string,
  cell: CellKind,
  also: readonly string[] = [],
): TableColumn => ({ part: 'circuit', field, head, cell, also });
const module = (
  field: keyof ModuleDraft,
  head: string,
  cell: CellKind,
  also: readonly string[] = [],
): TableColumn => ({ part: 'module', field, head, cell, also });

/**
 * The table of a registry: a row for each circuit, with the figures of its unit, of its site and of the backup module
 * that shuts its valve. What is empty is not known.
 */
export const tableColumns: readonly TableColumn[] = [
  {
    ...{ part: 'site', field: 'key', head: 'Site', cell: { kind: 'key' }, required: true },
    also: ['site key', 'location', 'building', 'plant', 'customer site'],
  },
  { part: 'site', field: 'name', head: 'Site name', cell: { kind: 'text' }, also: ['building name'] },
  {
    ...{ part: 'site', field: 'timeZone', head: 'Time zone', cell: { kind: 'text' } },
    also: ['timezone', 'tz', 'zone'],
  },
  {
    ...{ part: 'site', field: 'altitude_m', head: 'Height above the sea [m]' },
    cell: { kind: 'number', units: { m: 1, ft: 0.3048 } },
    also: ['altitude', 'elevation', 'height'],
  },
  unit('key', 'Unit', { kind: 'key' }, ['unit key', 'chiller', 'machine', 'asset', 'tag', 'equipment'], true),
  unit('name', 'Unit name', { kind: 'text' }, ['chiller name', 'description', 'machine name']),
  unit('refrigerant', 'Refrigerant', { kind: 'text' }, ['gas', 'fluid'], true),
  unit(
    'nominalCapacity_W',
    'Cooling capacity [kW]',
    {
      kind: 'number',
      units: { kW: 1000, W: 1, tons: wattPerTonOfRefrigeration, TR: wattPerTonOfRefrigeration },
    },
    ['capacity', 'nominal capacity', 'cooling power', 'size'],
    true,
  ),
  unit(
    'condenser',
    'Condenser',
    {
      kind: 'choice',
      of: {
        air: 'air',
        'air-cooled': 'air',
        'air cooled': 'air',
        water: 'water',
        'water-cooled': 'water',
        'water cooled': 'water',
      },
    },
    ['condensing', 'cooled by', 'type of condenser'],
    true,
  ),
  unit(
    'evaporator',
    'Evaporator',
    {
      kind: 'choice',
      of: {
        'dry-expansion': 'dry-expansion',
        'dry expansion': 'dry-expansion',
        dx: 'dry-expansion',
        flooded: 'flooded',
        'falling-film': 'falling-film',
        'falling film': 'falling-film',
      },
    },
    ['type of evaporator'],
  ),
  unit('reversible', 'Heat pump', { kind: 'yes-no' }, ['reversible']),
  unit(
    'reporting',
    'Gateway sends',
    { kind: 'choice', of: { sampled: 'sampled', 'on-change': 'on-change', 'on change': 'on-change' } },
    ['reporting'],
  ),
  unit('commissionedOn', 'Commissioned', { kind: 'date' }, [
    'commissioned on',
    'year built',
    'installed',
    'start-up',
  ]),
  unit('controllerFirmware', 'Firmware', { kind: 'text' }, ['controller firmware', 'software', 'version']),
  circuit('number', 'Circuit', { ...plain(''), whole: true }, ['circuit number', 'circuit no', 'ckt']),
  circuit('suctionReference', 'Suction reads', reads, [
    'suction reference',
    'pressure reads',
    'pressure reference',
    'gauge or absolute',
  ]),
  circuit('dischargeReference', 'Discharge reads', reads, ['discharge reference']),
  circuit('suctionMinimum_Pa', 'Suction from [bar]', pressure, ['suction minimum']),
  circuit('suctionMaximum_Pa', 'Suction to [bar]', pressure, [
    'suction maximum',
    'suction range',
    'suction span',
  ]),
  circuit('suctionTolerance_Pa', 'Suction tolerance [bar]', pressure),
  circuit('dischargeMinimum_Pa', 'Discharge from [bar]', pressure, ['discharge minimum']),
  circuit('dischargeMaximum_Pa', 'Discharge to [bar]', pressure, [
    'discharge maximum',
    'discharge range',
    'discharge span',
  ]),
  circuit('dischargeTolerance_Pa', 'Discharge tolerance [bar]', pressure),
  circuit('suctionTemperatureTolerance_K', 'Suction temperature tolerance [K]', difference),
  circuit('valveSize', 'Valve', { kind: 'text' }, ['valve size', 'valve model', 'expansion valve']),
  circuit('kv_m3_h', 'Kv [m3/h]', { kind: 'number', units: { 'm3/h': 1, 'm³/h': 1 } }, ['valve kv']),
  circuit('motors', 'Valves in parallel', { ...plain(''), whole: true }, ['valves', 'motors']),
  circuit('fullStroke_steps', 'Full stroke [steps]', { ...plain('steps'), whole: true }, ['steps', 'stroke']),
  circuit('rate_steps_s', 'Speed [steps/s]', plain('steps/s'), ['step rate', 'rate']),
  circuit('refrigerantCharge_kg', 'Charge [kg]', { kind: 'number', units: { kg: 1, lb: 0.45359237 } }, [
    'refrigerant charge',
  ]),
  circuit('floodbackLimit_K', 'Floodback limit [K]', difference),
  circuit('safetyMargin_K', 'Safety margin [K]', difference),
  module('number', 'Backup module', { ...plain(''), whole: true }, ['module', 'backup']),
  module('ratedVoltage_V', 'Module rated voltage [V]', plain('V'), ['rated voltage']),
  module('minimumVoltage_V', 'Module lowest voltage [V]', plain('V'), ['minimum voltage']),
  module('ratedCapacitance_F', 'Module capacitance [F]', plain('F'), ['rated capacitance', 'capacitance']),
  module('drivePower_W', 'Module drive power [W]', plain('W'), ['drive power']),
  module('cellsInSeries', 'Module cells', { ...plain(''), whole: true }, ['cells in series', 'cells']),
  module(
    'ratedEsr_Ohm',
    'Module series resistance [Ohm]',
    { kind: 'number', units: { Ohm: 1, mOhm: 1e-3 } },
    ['esr', 'rated esr'],
  ),
  module('overdrive_pct', 'Module overdrive [%]', plain('%'), ['overdrive']),
  module('installedOn', 'Module installed', { kind: 'date' }, ['module installed on']),
];

/** Name of a column in a mapping: `unit.refrigerant`. */
export const columnName = ({ part, field }: Pick<TableColumn, 'part' | 'field'>): string =>
  `${part}.${field}`;

/** The head of a column without its unit, and the unit in brackets: `Kv [m3/h]` as `kv` and `m3/h`. */
export function headParts(head: string): { words: string; unit: string | null } {
  const match = /^(.*?)\s*[[(]([^\])]*)[\])]\s*$/.exec(head.trim());
  const words = (match?.[1] ?? head)
    .trim()
    .toLowerCase()
    .replace(/[\s_]+/g, ' ');
  return { words, unit: match === null ? null : match[2].trim() };
}

/**
 * What each head of a table probably is: by the exact words of an export, else by other words of the trade, each column at
 * most once; null: not known.
 */
export function guessColumns(heads: readonly string[]): (string | null)[] {
  const taken = new Set<string>();
  const guess = (head: string, fits: (column: TableColumn, words: string) => boolean): string | null => {
    const { words } = headParts(head);
    const column = tableColumns.find((one) => !taken.has(columnName(one)) && fits(one, words));
    if (column === undefined) return null;
    taken.add(columnName(column));
    return columnName(column);
  };
  const exact = heads.map((head) => guess(head, (column, words) => headParts(column.head).words === words));
  return heads.map((head, i) => exact[i] ?? guess(head, (column, words) => column.also.includes(words)));
}
