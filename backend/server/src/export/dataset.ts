import type { FleetUnit } from '../registry/fleet.js';
import type { TakenRepository, TakenSpan } from '../storage/taking-away/taken.repository.js';
import type { StudyService } from '../study/study.service.js';
import type { Batch, Column } from './column.js';

/** A circuit, module or unit that is exported, with its number in the store. */
export interface Place {
  id: number;
  site: string;
  unit: string;
  /** Of a circuit or module in its unit; of a unit 0. */
  number: number;
  registered: FleetUnit;
}

/** What is exported: places that the reader may see, and a span of time. */
export interface Scope {
  units: readonly Place[];
  circuits: readonly Place[];
  modules: readonly Place[];
  span: TakenSpan;
  /** Keys of the only sites that may be seen; null: all. */
  sites: readonly string[] | null;
}

/** Where rows come from. */
export interface Sources {
  taken: TakenRepository;
  studies: Pick<StudyService, 'everyCircuit' | 'backupMonths'>;
}

/** A table that can be taken away. */
export interface Dataset {
  name: string;
  /** What a row is, for the data dictionary. */
  rowIs: string;
  /** Which time the span is of. */
  spanOf: string;
  columns: readonly Column[];
  batches: (sources: Sources, scope: Scope) => AsyncIterable<Batch>;
}

type Cell = string | number | boolean | null | undefined;

/** A column of a table whose rows are objects; `of` undefined or not finite: the value is missing. */
export interface RowColumn<Row> extends Column {
  of: (row: Row) => Cell;
}

const cellOf = (value: Cell): string | number | boolean | null =>
  value === undefined || (typeof value === 'number' && !Number.isFinite(value)) ? null : value;

/** A table whose rows come as objects, some at a time. */
export function tableOf<Row>(
  about: Omit<Dataset, 'columns' | 'batches'>,
  columns: readonly RowColumn<Row>[],
  rows: (sources: Sources, scope: Scope) => AsyncIterable<readonly Row[]>,
): Dataset {
  return {
    ...about,
    columns: columns.map(({ of: _of, ...column }) => column),
    batches: async function* (sources, scope) {
      for await (const some of rows(sources, scope))
        yield {
          rows: some.length,
          columns: columns.map(({ of }) => ({ values: some.map((row) => cellOf(of(row))) })),
        };
    },
  };
}

/** Places by their number in the store. */
export const byId = (places: readonly Place[]): Map<number, Place> =>
  new Map(places.map((place) => [place.id, place]));

/** Rows with the place that they are of. */
export async function* placed<Row>(
  places: readonly Place[],
  rows: AsyncIterable<readonly Row[]>,
  idOf: (row: Row) => number,
): AsyncGenerator<(Row & { place: Place })[]> {
  const found = byId(places);
  for await (const some of rows) yield some.map((row) => ({ ...row, place: found.get(idOf(row))! }));
}

export const ids = (places: readonly Place[]): number[] => places.map(({ id }) => id);

/** Columns that name the unit, and the circuit or module in it. */
export const placeColumns = (numbered?: 'circuit' | 'module'): RowColumn<{ place: Place }>[] => [
  {
    name: 'site',
    type: 'text',
    required: true,
    meaning: 'Key of the site in the registry.',
    of: ({ place }) => place.site,
  },
  {
    name: 'unit',
    type: 'text',
    required: true,
    meaning: 'Key of the unit at its site.',
    of: ({ place }) => place.unit,
  },
  ...(numbered === undefined
    ? []
    : [
        {
          ...{ name: numbered, type: 'integer' as const, required: true as const },
          meaning: `Number of the ${numbered === 'circuit' ? 'circuit' : 'backup module'} in its unit, from 1.`,
          of: ({ place }: { place: Place }) => place.number,
        },
      ]),
];
