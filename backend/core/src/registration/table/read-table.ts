import {
  emptyCircuitDraft,
  type CircuitDraft,
  type ModuleDraft,
  type PressureReference,
  type UnitDraft,
} from '../draft.js';
import { columnName, tableColumns, type TableColumn } from './columns.js';
import { CellProblem, readCell, type Cell, type CellValue } from './read-cell.js';

export interface RegistryTable {
  heads: readonly string[];
  rows: readonly (readonly Cell[])[];
}

/** What is wrong in one cell; rows count from 1 under the head; column null: the row as a whole. */
export interface TableProblem {
  row: number;
  column: number | null;
  sentence: string;
}

export interface TableSite {
  key: string;
  name: string | null;
  timeZone: string | null;
  altitude_m: number | null;
}

export interface TableUnit {
  site: string;
  draft: UnitDraft;
  /** Where it first stands. */
  row: number;
  /** Where each of its fields stands, by path in the draft, for problems that are found later. */
  places: ReadonlyMap<string, { row: number; column: number }>;
}

type Values = Map<string, { value: CellValue; column: number }>;

/** `Town Hall` as it can stand in topics: `town-hall`. */
export const keyFrom = (text: string): string =>
  text
    .normalize('NFKD')
    .replace(/\p{M}/gu, '')
    .toLowerCase()
    .replace(/[^a-z0-9]+/g, '-')
    .replace(/^-+|-+$/g, '')
    .slice(0, 63);

/**
 * The sites and units of a table, a row for each circuit, with what is wrong cell by cell. Rows of the same site and unit
 * belong together; what they say of their unit has to agree.
 *
 * @param mapping what each column is (`columnName`), null: not used.
 */
export function readTable(
  { heads, rows }: RegistryTable,
  mapping: readonly (string | null)[],
): { sites: TableSite[]; units: TableUnit[]; problems: TableProblem[] } {
  const problems: TableProblem[] = [];
  const columns = mapping.map((name) =>
    name === null ? undefined : tableColumns.find((column) => columnName(column) === name),
  );
  for (const column of tableColumns)
    if (column.required && !columns.includes(column))
      problems.push({ row: 0, column: null, sentence: `No column is "${column.head}".` });
  if (problems.length > 0) return { sites: [], units: [], problems };
  const sites = new Map<string, TableSite>();
  const units = new Map<string, { rows: { row: number; values: Values }[]; site: string; key: string }>();
  rows.forEach((cells, index) => {
    if (cells.every((cell) => cell === null || String(cell).trim() === '')) return;
    const row = index + 1;
    const values = valuesOf(cells, heads, columns, row, problems);
    const site = keyFrom(String(values.get('site.key')?.value ?? ''));
    const key = keyFrom(String(values.get('unit.key')?.value ?? ''));
    if (site === '' || key === '') return;
    const name = `${site}/${key}`;
    const own = units.get(name) ?? { rows: [], site, key };
    own.rows.push({ row, values });
    units.set(name, own);
    noteSite(sites, site, values);
  });
  return {
    sites: [...sites.values()],
    units: [...units.values()].flatMap(({ rows: own, site, key }) => {
      const made = unitOf(site, key, own, problems);
      return made === null ? [] : [made];
    }),
    problems,
  };
}

function valuesOf(
  cells: readonly Cell[],
  heads: readonly string[],
  columns: readonly (TableColumn | undefined)[],
  row: number,
  problems: TableProblem[],
): Values {
  const values: Values = new Map();
  columns.forEach((column, i) => {
    if (column === undefined) return;
    try {
      const value = readCell(cells[i] ?? null, heads[i], column);
      if (value !== null) values.set(columnName(column), { value, column: i });
      else if (column.required) problems.push({ row, column: i, sentence: `"${column.head}" is missing.` });
    } catch (error) {
      if (!(error instanceof CellProblem)) throw error;
      problems.push({ row, column: i, sentence: error.message });
    }
  });
  return values;
}

function noteSite(sites: Map<string, TableSite>, key: string, values: Values): void {
  const said = <Value>(field: string) => (values.get(`site.${field}`)?.value ?? null) as Value | null;
  const known = sites.get(key) ?? { key, name: null, timeZone: null, altitude_m: null };
  const typed = String(values.get('site.key')!.value);
  sites.set(key, {
    key,
    name: known.name ?? said<string>('name') ?? (typed === key ? null : typed),
    timeZone: known.timeZone ?? said<string>('timeZone'),
    altitude_m: known.altitude_m ?? said<number>('altitude_m'),
  });
}

/** Fields of a unit that its rows have to agree on. */
const unitFields = tableColumns.filter(({ part }) => part === 'unit').map(({ field }) => field);

function unitOf(
  site: string,
  key: string,
  rows: readonly { row: number; values: Values }[],
  problems: TableProblem[],
): TableUnit | null {
  const before = problems.length;
  const places = new Map<string, { row: number; column: number }>();
  const said = new Map<string, CellValue>();
  for (const field of unitFields)
    for (const { row, values } of rows) {
      const found = values.get(`unit.${field}`);
      if (found === undefined || field === 'key') continue;
      const known = said.get(field);
      if (known === undefined) {
        said.set(field, found.value);
        places.set(field, { row, column: found.column });
      } else if (known !== found.value)
        problems.push({
          ...{ row, column: found.column },
          sentence: `Another row of ${site}/${key} says "${known}".`,
        });
    }
  const circuits = circuitsOf(rows, places, problems);
  const modules = modulesOf(rows, circuits, places, problems);
  if (problems.length > before || !said.has('refrigerant')) return null;
  const take = <Value>(field: string, otherwise: Value) => (said.get(field) ?? otherwise) as Value;
  const draft: UnitDraft = {
    key,
    name: take('name', key),
    refrigerant: take('refrigerant', ''),
    nominalCapacity_W: take('nominalCapacity_W', NaN),
    condenser: take<UnitDraft['condenser']>('condenser', 'air'),
    evaporator: take<UnitDraft['evaporator']>('evaporator', 'dry-expansion'),
    reversible: take('reversible', false),
    reporting: take<UnitDraft['reporting']>('reporting', null),
    commissionedOn: take<string | null>('commissionedOn', null),
    controllerFirmware: take<string | null>('controllerFirmware', null),
    circuits,
    modules,
  };
  return { site, draft, row: rows[0].row, places };
}

function circuitsOf(
  rows: readonly { row: number; values: Values }[],
  places: Map<string, { row: number; column: number }>,
  problems: TableProblem[],
): CircuitDraft[] {
  const circuits: CircuitDraft[] = [];
  rows.forEach(({ row, values }, i) => {
    const number = (values.get('circuit.number')?.value as number | undefined) ?? i + 1;
    const suction = values.get('circuit.suctionReference');
    const discharge = values.get('circuit.dischargeReference') ?? suction;
    if (suction === undefined) {
      problems.push({ row, column: null, sentence: 'Do its transducers read gauge or absolute pressure?' });
      return;
    }
    if (circuits.some((other) => other.number === number))
      problems.push({
        ...{ row, column: values.get('circuit.number')?.column ?? null },
        sentence: `Circuit ${number} is there twice.`,
      });
    const circuit: CircuitDraft = {
      ...emptyCircuitDraft(number, suction.value as PressureReference),
      dischargeReference: discharge!.value as PressureReference,
    };
    for (const [name, { value, column }] of values) {
      if (!name.startsWith('circuit.')) continue;
      const field = name.slice('circuit.'.length);
      if (field === 'motors' && value !== 1 && value !== 2)
        problems.push({ row, column, sentence: 'One valve, or two in parallel.' });
      (circuit as unknown as Record<string, CellValue>)[field] = value;
      places.set(`circuits.${circuits.length}.${field}`, { row, column });
    }
    circuits.push({ ...circuit, number });
  });
  return circuits;
}

const requiredOfModule = [
  'ratedVoltage_V',
  'minimumVoltage_V',
  'ratedCapacitance_F',
  'drivePower_W',
] as const;

/** Modules by their number; one that stands in the rows of several circuits shuts the valves of all of them. */
function modulesOf(
  rows: readonly { row: number; values: Values }[],
  circuits: readonly CircuitDraft[],
  places: Map<string, { row: number; column: number }>,
  problems: TableProblem[],
): ModuleDraft[] {
  const modules: ModuleDraft[] = [];
  rows.forEach(({ row, values }, i) => {
    const own = [...values].filter(([name]) => name.startsWith('module.'));
    if (own.length === 0 || circuits[i] === undefined) return;
    const number = (values.get('module.number')?.value as number | undefined) ?? 1;
    const known = modules.find((module) => module.number === number);
    if (known !== undefined) {
      known.circuits.push(circuits[i].number);
      return;
    }
    const said = <Value>(field: string) => (values.get(`module.${field}`)?.value ?? null) as Value | null;
    for (const field of requiredOfModule)
      if (said(field) === null) {
        const head = tableColumns.find((column) => columnName(column) === `module.${field}`)!.head;
        problems.push({ row, column: null, sentence: `A backup module needs "${head}".` });
      }
    for (const [name, { column }] of own)
      places.set(`modules.${modules.length}.${name.slice('module.'.length)}`, { row, column });
    modules.push({
      ...{ number, circuits: [circuits[i].number] },
      ratedVoltage_V: said<number>('ratedVoltage_V') ?? NaN,
      minimumVoltage_V: said<number>('minimumVoltage_V') ?? NaN,
      ratedCapacitance_F: said<number>('ratedCapacitance_F') ?? NaN,
      drivePower_W: said<number>('drivePower_W') ?? NaN,
      cellsInSeries: said<number>('cellsInSeries'),
      ratedEsr_Ohm: said<number>('ratedEsr_Ohm'),
      overdrive_pct: said<number>('overdrive_pct'),
      installedOn: said<string>('installedOn'),
    });
  });
  return modules;
}
