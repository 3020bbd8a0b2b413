import { useQuery } from '@tanstack/react-query';
import { useMemo } from 'react';
import type { Refrigerant } from '../../api/types.js';
import { refrigerantsQuery } from '../../api/queries.js';
import { PageTitle } from '../../components/page-title.js';
import { useUnits } from '../../components/site.js';
import { SortableTable, type Column } from '../../components/table/sortable-table.js';
import { Failed, Loading, TooLittle } from '../../components/states.js';
import { decimals, show } from '../../quantities/format-quantity.js';
import { scaleOf, type UnitSystem } from '../../quantities/unit-system.js';

const refrigerantColumns = (units: UnitSystem): Column<Refrigerant>[] => [
  {
    id: 'name',
    head: 'Refrigerant',
    sortBy: (row) => row.name,
    cell: (row) => <strong>{row.name}</strong>,
  },
  { id: 'class', head: 'Safety class', sortBy: (row) => row.safetyClass, cell: (row) => row.safetyClass },
  {
    id: 'composition',
    head: 'Composition, by mass',
    sortBy: (row) => row.composition.length,
    byNumber: true,
    cell: (row) =>
      row.composition.length < 2
        ? 'pure'
        : row.composition.map((part) => `${part.name} ${decimals(part.massFraction * 100, 1)} %`).join(', '),
  },
  {
    id: 'glide',
    head: 'Glide at 1 atm',
    number: true,
    sortBy: (row) => row.glide_K ?? undefined,
    cell: (row) => (row.composition.length < 2 ? 'none' : show(row.glide_K, 'temperature-difference', units)),
  },
  {
    id: 'from',
    head: 'Table from',
    number: true,
    sortBy: (row) => row.minimumTemperature_K ?? undefined,
    cell: (row) => show(row.minimumTemperature_K, 'temperature', units),
  },
  {
    id: 'to',
    head: 'to',
    number: true,
    sortBy: (row) => row.maximumTemperature_K ?? undefined,
    cell: (row) => show(row.maximumTemperature_K, 'temperature', units),
  },
  {
    id: 'error',
    head: 'Largest error',
    number: true,
    sortBy: (row) => row.maximumError_K ?? undefined,
    cell: (row) => {
      const scale = scaleOf('temperature-difference', units);
      return row.maximumError_K === null
        ? '–'
        : row.maximumError_K < 5e-5
          ? `under ${scale.convert(1e-4).toFixed(4)} ${scale.unit}`
          : `${decimals(scale.convert(row.maximumError_K), 4)} ${scale.unit}`;
    },
  },
  {
    id: 'source',
    head: 'Source',
    sortBy: (row) => row.source,
    // Wide also where the table is scrolled sideways: broken into many lines it would make all rows tall.
    cell: (row) => <div style={{ minWidth: '24rem' }}>{row.source}</div>,
  },
];

export function RefrigerantsPage() {
  const list = useQuery(refrigerantsQuery);
  const units = useUnits();
  const columns = useMemo(() => refrigerantColumns(units), [units]);
  return (
    <>
      <PageTitle>Refrigerants – Coldrounds</PageTitle>
      <h1>Refrigerants</h1>
      <p className="quiet" style={{ maxWidth: '38rem', margin: '0.6rem 0 1.2rem' }}>
        The property tables that superheat (dew side) and subcooling (bubble side) are computed from, with the
        largest error of the saturation temperature against their source. Safety classes after ISO 817 and
        ASHRAE 34: A or B for toxicity; 1, 2L, 2 or 3 for flammability.
      </p>
      {list.isPending ? (
        <Loading what="the refrigerants" />
      ) : list.isError ? (
        <Failed what="the refrigerants" error={list.error} retry={() => void list.refetch()} />
      ) : list.data.refrigerants.length === 0 ? (
        <TooLittle>No property table is installed.</TooLittle>
      ) : (
        <SortableTable
          rows={list.data.refrigerants}
          columns={columns}
          first="name"
          label="Refrigerants"
          rowKey={(row) => row.name}
        />
      )}
    </>
  );
}
