import './fleet.css';
import { useQuery } from '@tanstack/react-query';
import { Link } from '@tanstack/react-router';
import { formatDistanceToNow } from 'date-fns';
import { useMemo, useState } from 'react';
import type { UnitSummary } from '../../api/types.js';
import { unitsQuery } from '../../api/queries.js';
import { usePreferences } from '../../app/preferences.js';
import { SortableTable, type Column } from '../../components/sortable-table.js';
import { Failed, Loading, TooLittle } from '../../components/states.js';
import { urgencies, UrgencyWord } from '../../components/urgency.js';
import { count, show } from '../../quantities/format-quantity.js';
import type { UnitSystem } from '../../quantities/unit-system.js';

/** Whether every one of the words is found in what names the unit. */
function matches({ unit, site }: UnitSummary, words: string): boolean {
  const text = [unit.name, site.name, unit.refrigerant, unit.controllerFirmware, site.climate]
    .join(' ')
    .toLowerCase();
  return words
    .toLowerCase()
    .split(/\s+/)
    .every((word) => text.includes(word));
}

const unitColumns = (system: UnitSystem): Column<UnitSummary>[] => [
  {
    id: 'unit',
    head: 'Unit',
    sortBy: (row) => row.unit.name,
    cell: (row) => (
      <Link to="/units/$site/$unit" params={{ site: row.site.key, unit: row.unit.key }}>
        {row.unit.name}
      </Link>
    ),
  },
  { id: 'site', head: 'Site', sortBy: (row) => row.site.name, cell: (row) => row.site.name },
  {
    id: 'urgency',
    byNumber: true,
    head: 'Urgency',
    sortBy: (row) => (row.urgency === null ? urgencies.length : urgencies.indexOf(row.urgency)),
    cell: (row) =>
      row.urgency ? <UrgencyWord urgency={row.urgency} /> : <span className="quiet">no finding</span>,
  },
  {
    id: 'refrigerant',
    head: 'Refrigerant',
    sortBy: (row) => row.unit.refrigerant,
    cell: (row) => `${row.unit.refrigerant}${row.unit.safetyClass ? ` (${row.unit.safetyClass})` : ''}`,
  },
  {
    id: 'capacity',
    head: 'Capacity',
    number: true,
    sortBy: (row) => row.unit.nominalCapacity_W,
    cell: (row) => show(row.unit.nominalCapacity_W, 'cooling-capacity', system),
  },
  {
    id: 'circuits',
    head: 'Circuits',
    number: true,
    sortBy: (row) => row.circuits.length,
    cell: (row) => row.circuits.length,
  },
  {
    id: 'modules',
    head: 'Modules',
    number: true,
    sortBy: (row) => row.modules.length,
    cell: (row) => row.modules.length,
  },
  {
    id: 'firmware',
    head: 'Firmware',
    sortBy: (row) => row.unit.controllerFirmware,
    cell: (row) => row.unit.controllerFirmware,
  },
  {
    id: 'reading',
    byNumber: true,
    head: 'Last reading',
    sortBy: (row) => (row.lastReading ? Date.parse(row.lastReading) : 0),
    cell: (row) =>
      row.lastReading
        ? `${formatDistanceToNow(new Date(row.lastReading), { addSuffix: true })}${row.online === false ? ', offline' : ''}`
        : 'none yet',
  },
];

export function FleetPage() {
  const units = useQuery(unitsQuery);
  const { units: system } = usePreferences();
  const [words, setWords] = useState('');
  const columns = useMemo(() => unitColumns(system), [system]);
  const rows = useMemo(
    () => (units.data?.units ?? []).filter((row) => matches(row, words)),
    [units.data, words],
  );
  return (
    <>
      <title>All units – Coldrounds</title>
      <h1>All units</h1>
      {units.isPending ? (
        <Loading what="the units" />
      ) : units.isError ? (
        <Failed what="the units" error={units.error} retry={() => void units.refetch()} />
      ) : units.data.units.length === 0 ? (
        <TooLittle>The registry holds no units yet.</TooLittle>
      ) : (
        <>
          <p className="fleet-tools">
            <label>
              <span className="hidden-visually">Words to look for</span>
              <input
                type="search"
                placeholder="Unit, site, refrigerant, firmware"
                value={words}
                onChange={(event) => setWords(event.target.value)}
              />
            </label>
            <span className="quiet">
              {rows.length} of {count(units.data.units.length, 'unit')}
            </span>
          </p>
          <SortableTable
            rows={rows}
            columns={columns}
            first="urgency"
            label="All units"
            rowKey={(row) => `${row.site.key}/${row.unit.key}`}
          />
        </>
      )}
    </>
  );
}
