import './data-table.css';
import { useMemo, useState } from 'react';
import { csvOf, type Table } from '../../charts/evidence/table.js';

const mostRows = 200;

/** What a picture or chart shows as a table and as CSV; worked out once it is opened. `table` must be stable. */
export function DataTable({ table, name }: { table: () => Table; name: string }) {
  const [opened, setOpened] = useState(false);
  return (
    <details className="small" onToggle={(event) => setOpened(event.currentTarget.open)}>
      <summary>Its data as a table</summary>
      {opened && <Rows table={table} name={name} />}
    </details>
  );
}

function Rows({ table, name }: { table: () => Table; name: string }) {
  const { columns, rows } = useMemo(table, [table]);
  const csv = useMemo(
    () => `data:text/csv;charset=utf-8,${encodeURIComponent(csvOf({ columns, rows }))}`,
    [columns, rows],
  );
  return (
    <>
      <p>
        <a className="data-table-csv" href={csv} download={`${name}.csv`}>
          As CSV, {rows.length} rows
        </a>
      </p>
      <div className="picture-table" tabIndex={0} role="region" aria-label={`Data of the picture ${name}`}>
        <table>
          <thead>
            <tr>
              {columns.map((column, index) => (
                <th key={index} scope="col">
                  {column}
                </th>
              ))}
            </tr>
          </thead>
          <tbody>
            {rows.slice(0, mostRows).map((row, index) => (
              <tr key={index}>
                {row.map((cell, column) => (
                  <td key={column} className={column === 0 ? undefined : 'number'}>
                    {cell}
                  </td>
                ))}
              </tr>
            ))}
          </tbody>
        </table>
      </div>
      {rows.length > mostRows && <p className="quiet">The first {mostRows} rows; all are in the CSV.</p>}
    </>
  );
}
