import './sortable-table.css';
import {
  createColumnHelper,
  createSortedRowModel,
  rowSortingFeature,
  sortFn_alphanumeric,
  sortFn_basic,
  tableFeatures,
  useTable,
  type RowData,
} from '@tanstack/react-table';
import { useMemo, type ReactNode } from 'react';

export interface Column<Row> {
  id: string;
  head: string;
  /** Shown as a number, to the right. */
  number?: boolean;
  /** Sorted by number although shown as words. */
  byNumber?: boolean;
  sortBy: (row: Row) => string | number | undefined;
  cell: (row: Row) => ReactNode;
}

const features = tableFeatures({
  rowSortingFeature,
  sortedRowModel: createSortedRowModel(),
  sortFns: { alphanumeric: sortFn_alphanumeric, basic: sortFn_basic },
});

interface SortableTableProps<Row> {
  rows: Row[];
  columns: Column<Row>[];
  /** Column by which it is sorted at first. */
  first: string;
  label: string;
  rowKey: (row: Row) => string;
}

/** A table whose heads sort it; the head says in words which way. Rows without the value come last. */
export function SortableTable<Row extends RowData>({
  rows,
  columns,
  first,
  label,
  rowKey,
}: SortableTableProps<Row>) {
  const definitions = useMemo(() => {
    const helper = createColumnHelper<typeof features, Row>();
    return helper.columns(
      columns.map((column) =>
        helper.accessor((row) => column.sortBy(row), {
          id: column.id,
          header: column.head,
          sortUndefined: 'last',
          sortFn: column.number || column.byNumber ? 'basic' : 'alphanumeric',
        }),
      ),
    );
  }, [columns]);
  const table = useTable({
    features,
    columns: definitions,
    data: rows,
    getRowId: rowKey,
    initialState: { sorting: [{ id: first, desc: false }] },
    enableSortingRemoval: false,
  });
  const columnOf = (id: string) => columns.find((column) => column.id === id)!;
  return (
    <div className="scroll-x">
      <table aria-label={label}>
        <thead>
          {table.getHeaderGroups().map((group) => (
            <tr key={group.id}>
              {group.headers.map((header) => {
                const sorted = header.column.getIsSorted();
                return (
                  <th
                    key={header.id}
                    scope="col"
                    className={columnOf(header.column.id).number ? 'number' : undefined}
                    aria-sort={sorted === 'asc' ? 'ascending' : sorted === 'desc' ? 'descending' : 'none'}
                  >
                    <button
                      type="button"
                      className="sort-button"
                      onClick={header.column.getToggleSortingHandler()}
                    >
                      {columnOf(header.column.id).head}
                      {sorted === 'asc' ? ' ↑' : sorted === 'desc' ? ' ↓' : ''}
                    </button>
                  </th>
                );
              })}
            </tr>
          ))}
        </thead>
        <tbody>
          {table.getRowModel().rows.map((row) => (
            <tr key={row.id}>
              {columns.map((column) => (
                <td key={column.id} className={column.number ? 'number' : undefined}>
                  {column.cell(row.original)}
                </td>
              ))}
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  );
}
