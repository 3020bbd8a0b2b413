import './sortable-table.css';
import type { ReactNode } from 'react';
import { Pager } from './pager.js';

export interface PagedColumn<Row, Order extends string> {
  id: string;
  head: string;
  /** Shown as a number, to the right. */
  number?: boolean;
  /** The order that a press on the head asks the server for; left out: the column cannot be sorted by. */
  order?: Order;
  cell: (row: Row) => ReactNode;
}

export interface Ordering<Order extends string> {
  sort: Order;
  descending: boolean;
}

interface PagedTableProps<Row, Order extends string> {
  rows: Row[];
  columns: PagedColumn<Row, Order>[];
  ordering: Ordering<Order>;
  order: (ordering: Ordering<Order>) => void;
  page: number;
  pages: number;
  turnTo: (page: number) => void;
  label: string;
  rowKey: (row: Row) => string;
}

/** A table of which the server sorts all rows and gives one page; the head says in words which way. */
export function PagedTable<Row, Order extends string>(props: PagedTableProps<Row, Order>) {
  const { rows, columns, ordering, order, label, rowKey } = props;
  return (
    <>
      <div className="scroll-x">
        <table aria-label={label}>
          <thead>
            <tr>
              {columns.map((column) => (
                <Head key={column.id} column={column} ordering={ordering} order={order} />
              ))}
            </tr>
          </thead>
          <tbody>
            {rows.map((row) => (
              <tr key={rowKey(row)}>
                {columns.map((column) => (
                  <td key={column.id} className={column.number ? 'number' : undefined}>
                    {column.cell(row)}
                  </td>
                ))}
              </tr>
            ))}
          </tbody>
        </table>
      </div>
      <Pager {...props} />
    </>
  );
}

function Head<Row, Order extends string>({
  column,
  ordering,
  order,
}: Pick<PagedTableProps<Row, Order>, 'ordering' | 'order'> & { column: PagedColumn<Row, Order> }) {
  const own = column.order;
  const sorted = own !== undefined && ordering.sort === own;
  const className = column.number ? 'number' : undefined;
  if (own === undefined)
    return (
      <th scope="col" className={className}>
        {column.head}
      </th>
    );
  return (
    <th
      scope="col"
      className={className}
      aria-sort={!sorted ? 'none' : ordering.descending ? 'descending' : 'ascending'}
    >
      <button
        type="button"
        className="sort-button"
        onClick={() => order({ sort: own, descending: sorted && !ordering.descending })}
      >
        {column.head}
        {!sorted ? '' : ordering.descending ? ' ↓' : ' ↑'}
      </button>
    </th>
  );
}
