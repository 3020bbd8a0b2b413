import './fleet.css';
import { useQuery } from '@tanstack/react-query';
import { Link } from '@tanstack/react-router';
import { useDeferredValue, useMemo, useState } from 'react';
import type { UnitSummary } from '../../api/types.js';
import { unitsQuery, type UnitChoice, type UnitOrder } from '../../api/queries.js';
import { PageTitle } from '../../components/page-title.js';
import { FirstUnit } from '../../components/first-unit.js';
import { useUnits } from '../../components/site.js';
import { PagedTable, type PagedColumn } from '../../components/table/paged-table.js';
import { Failed, Loading } from '../../components/states.js';
import { UrgencyWord } from '../../components/urgency/urgency.js';
import { count, formatDuration, show } from '../../quantities/format-quantity.js';
import type { UnitSystem } from '../../quantities/unit-system.js';

const unitColumns = (system: UnitSystem): PagedColumn<UnitSummary, UnitOrder>[] => [
  {
    id: 'unit',
    head: 'Unit',
    order: 'unit',
    cell: (row) => (
      <Link to="/units/$site/$unit" params={{ site: row.site.key, unit: row.unit.key }}>
        {row.unit.name}
      </Link>
    ),
  },
  { id: 'site', head: 'Site', order: 'site', cell: (row) => row.site.name },
  {
    id: 'urgency',
    head: 'Urgency',
    order: 'round',
    cell: (row) =>
      row.urgency ? <UrgencyWord urgency={row.urgency} /> : <span className="quiet">no finding</span>,
  },
  {
    id: 'refrigerant',
    head: 'Refrigerant',
    order: 'refrigerant',
    cell: (row) => `${row.unit.refrigerant}${row.unit.safetyClass ? ` (${row.unit.safetyClass})` : ''}`,
  },
  {
    id: 'capacity',
    head: 'Capacity',
    number: true,
    order: 'capacity',
    cell: (row) => show(row.unit.nominalCapacity_W, 'cooling-capacity', system),
  },
  {
    id: 'circuits',
    head: 'Circuits',
    number: true,
    cell: (row) => row.circuits.length,
  },
  {
    id: 'modules',
    head: 'Modules',
    number: true,
    cell: (row) => row.modules.length,
  },
  {
    id: 'firmware',
    head: 'Firmware',
    order: 'firmware',
    cell: (row) => row.unit.controllerFirmware,
  },
  {
    id: 'reading',
    head: 'Last reading',
    cell: (row) =>
      row.lastReading
        ? `${formatDuration((Date.now() - Date.parse(row.lastReading)) / 1000)} ago${row.online === false ? ', offline' : ''}`
        : 'none yet',
  },
];

export function FleetPage() {
  const system = useUnits();
  const [choice, setChoice] = useState<UnitChoice>({ q: '', sort: 'round', descending: false, page: 1 });
  const q = useDeferredValue(choice.q || undefined);
  const units = useQuery(unitsQuery({ ...choice, q }));
  const columns = useMemo(() => unitColumns(system), [system]);
  const choose = (change: Partial<UnitChoice>) => setChoice((old) => ({ ...old, page: 1, ...change }));
  return (
    <>
      <PageTitle>All units – Coldrounds</PageTitle>
      <h1>All units</h1>
      {units.isPending ? (
        <Loading what="the units" />
      ) : units.isError ? (
        <Failed what="the units" error={units.error} retry={() => void units.refetch()} />
      ) : units.data.fleet === 0 ? (
        <FirstUnit />
      ) : (
        <>
          <p className="fleet-tools">
            <label>
              <span className="hidden-visually">Search words</span>
              <input
                type="search"
                placeholder="Unit, site, refrigerant, firmware"
                value={choice.q}
                onChange={(event) => choose({ q: event.target.value })}
              />
            </label>
            <span className="quiet">
              {units.data.total} of {count(units.data.fleet, 'unit')}
            </span>
          </p>
          <PagedTable
            rows={units.data.units}
            columns={columns}
            ordering={choice}
            order={choose}
            page={units.data.page}
            pages={units.data.pages}
            turnTo={(page) => choose({ page })}
            label="All units"
            rowKey={(row) => `${row.site.key}/${row.unit.key}`}
          />
        </>
      )}
    </>
  );
}
