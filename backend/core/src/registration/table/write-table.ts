import type { UnitDraft } from '../draft.js';
import { headParts, tableColumns, type TableColumn } from './columns.js';
import type { RegistryTable, TableSite } from './read-table.js';

type CellOut = string | number | null;

/** The registry as a table that `readTable` reads back: a row for each circuit, empty where nothing is known. */
export function writeTable(units: readonly { site: TableSite; draft: UnitDraft }[]): RegistryTable {
  return {
    heads: tableColumns.map(({ head }) => head),
    rows: units.flatMap(({ site, draft }) =>
      draft.circuits.map((circuit) => {
        const module = draft.modules.find(({ circuits }) => circuits.includes(circuit.number));
        const parts: Record<TableColumn['part'], object | undefined> = { site, unit: draft, circuit, module };
        return tableColumns.map((column) => cellOf(column, parts[column.part]));
      }),
    ),
  };
}

function cellOf(column: TableColumn, of: object | undefined): CellOut {
  const value = (of as Record<string, unknown> | undefined)?.[column.field] ?? null;
  if (value === null) return null;
  if (typeof value === 'boolean') return value ? 'yes' : 'no';
  if (typeof value !== 'number') return value as string;
  const { cell } = column;
  if (cell.kind !== 'number') return value;
  const unit = headParts(column.head).unit ?? '';
  // As many figures as a double keeps through a division and a multiplication.
  return Number((value / (cell.units[unit] ?? 1)).toPrecision(15));
}
