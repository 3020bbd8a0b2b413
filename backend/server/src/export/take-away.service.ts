import type { Writable } from 'node:stream';
import { seesSite, TooManyRequestsError, type Identity } from '../people/identity.js';
import { BadEntryError } from '../people/bad-entry.js';
import type { FleetUnit } from '../registry/fleet.js';
import { NotKnownError, type FleetService } from '../registry/fleet.service.js';
import type { TakenSpan } from '../storage/taking-away/taken.repository.js';
import type { Dataset, Place, Scope, Sources } from './dataset.js';
import { datasets } from './datasets/index.js';
import { writeCsv } from './files/csv-file.js';
import { writeParquet } from './files/parquet-file.js';

export const exportFormats = ['parquet', 'csv'] as const;
export type ExportFormat = (typeof exportFormats)[number];

export const mediaTypes: Record<ExportFormat, string> = {
  parquet: 'application/vnd.apache.parquet',
  csv: 'text/csv; charset=utf-8',
};

export interface ExportWish {
  /** Name of the table. */
  table: string;
  format: ExportFormat;
  span: TakenSpan;
  /** Only this site, or only this unit, as `{siteKey}/{unitKey}`. */
  site?: string;
  unit?: string;
}

/** An export that is asked for and allowed: what its file is called, and how it is written. */
export interface TakenAway {
  fileName: string;
  mediaType: string;
  /** Writes it to its end; gives its rows. */
  write: (to: Writable) => Promise<number>;
}

/** At once in one process: each takes a connection to the database, which the pages need too. */
const mostAtOnce = 3;

/** Whole tables for a notebook. */
export class TakeAwayService {
  private underWay = 0;

  constructor(private readonly parts: Sources & { fleet: FleetService }) {}

  async take(viewer: Pick<Identity, 'sites'>, wish: ExportWish): Promise<TakenAway> {
    const dataset = datasets.find(({ name }) => name === wish.table);
    if (dataset === undefined)
      throw new NotKnownError(
        `There is no table ${wish.table}. There are ${datasets.map(({ name }) => name).join(', ')}.`,
      );
    const scope = await this.scope(viewer, wish);
    if (this.underWay >= mostAtOnce) throw new TooManyRequestsError(30);
    const from = new Date(wish.span.from_s * 1000).toISOString();
    const to = new Date(wish.span.to_s * 1000).toISOString();
    return {
      fileName: [dataset.name, wish.unit?.replace('/', '-') ?? wish.site, from.slice(0, 10), to.slice(0, 10)]
        .filter((part) => part !== undefined)
        .join('-')
        .concat(`.${wish.format}`),
      mediaType: mediaTypes[wish.format],
      write: (stream) =>
        this.counted(() =>
          write(dataset, wish.format, stream, dataset.batches(this.parts, scope), { from, to }),
        ),
    };
  }

  private async counted<Result>(work: () => Promise<Result>): Promise<Result> {
    this.underWay++;
    try {
      return await work();
    } finally {
      this.underWay--;
    }
  }

  private async scope(viewer: Pick<Identity, 'sites'>, { site, unit, span }: ExportWish): Promise<Scope> {
    if (!(span.from_s < span.to_s))
      throw new BadEntryError([{ name: 'from', reason: 'must be before `to`' }]);
    const { units: all } = await this.parts.fleet.fleet();
    const units = all.filter(
      ({ site: at, key }) =>
        seesSite(viewer, at.key) &&
        (site === undefined || at.key === site) &&
        (unit === undefined || `${at.key}/${key}` === unit),
    );
    if (units.length === 0 && (site ?? unit) !== undefined)
      throw new NotKnownError(`There is no ${unit === undefined ? 'site' : 'unit'} ${unit ?? site}.`);
    const within = (parts: 'circuits' | 'modules'): Place[] =>
      units.flatMap((owner) => owner[parts].map(({ id, number }) => placeOf(owner, id, number)));
    return {
      units: units.map((owner) => placeOf(owner, owner.id, 0)),
      ...{ circuits: within('circuits'), modules: within('modules'), span, sites: viewer.sites },
    };
  }
}

const placeOf = (registered: FleetUnit, id: number, number: number): Place => ({
  ...{ id, number, registered },
  site: registered.site.key,
  unit: registered.key,
});

function write(
  { name, columns }: Dataset,
  format: ExportFormat,
  to: Writable,
  batches: ReturnType<Dataset['batches']>,
  span: { from: string; to: string },
): Promise<number> {
  if (format === 'csv') return writeCsv(to, columns, batches);
  return writeParquet(to, columns, batches, { table: name, ...span });
}
