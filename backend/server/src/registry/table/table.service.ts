import {
  draftOf,
  guessColumns,
  judgeDraft,
  readTable,
  tableColumns,
  columnName,
  writeTable,
  type CompletedUnit,
  type RegistryTable,
  type TableProblem,
  type TableSite,
  type TableUnit,
} from '@coldrounds/core';
import { BadEntryError } from '../../people/bad-entry.js';
import { personOf, seesSite, type Identity } from '../../people/identity.js';
import type { FleetUnit } from '../../storage/fleet.js';
import type { Queryable } from '../../storage/index.js';
import { lockRegistry } from '../../storage/registry/facts.repository.js';
import type { RegisteredSite } from '../../storage/registry/registration.repository.js';
import type { Because, RegistrationParts } from '../changing/registration.service.js';
import { sameEntry } from '../changing/same-entry.js';
import { siteFieldsOf } from '../changing/site-fields.js';
import { entryOf } from '../changing/unit-entry.js';
import { writeUnits } from '../changing/unit-writer.js';
import { isTimeZone } from '../registry-document.js';
import { readSpreadsheet, writeCsv, writeWorkbook } from './spreadsheet.js';

export interface TableWish {
  content: Buffer;
  /** What each column is; null: guessed by the heads. */
  mapping: (string | null)[] | null;
}

interface JudgedUnit {
  site: string;
  unit: CompletedUnit;
  before: FleetUnit | null;
}

interface Judged {
  table: RegistryTable;
  mapping: (string | null)[];
  problems: TableProblem[];
  /** What hardly can be right, but can be taken. */
  doubts: TableProblem[];
  newSites: TableSite[];
  known: ReadonlyMap<string, RegisteredSite>;
  added: JudgedUnit[];
  changed: JudgedUnit[];
  same: number;
}

/** Problems that are listed; the others are counted. */
const mostListed = 200;
/** Units in one statement. */
const atOnce = 500;

/** The registry as a spreadsheet: looked through before anything is written, and written as a whole or not at all. */
export class TableService {
  constructor(
    private readonly parts: RegistrationParts,
    private readonly now_s: () => number = () => Date.now() / 1000,
  ) {}

  async preview(by: Identity, wish: TableWish) {
    return viewOf(await this.judge(by, wish));
  }

  async apply(by: Identity, wish: TableWish, because: Because) {
    const personId = personOf(by);
    if (because.holdsFrom_s !== null && because.holdsFrom_s > this.now_s())
      throw new BadEntryError([{ name: 'holdsFrom', reason: 'must not lie in the future' }]);
    const judged = await this.parts.database.transaction(async (client) => {
      await lockRegistry(client);
      const found = await this.judge(by, wish, client);
      if (found.problems.length > 0)
        throw new BadEntryError([
          {
            name: 'file',
            reason: `has ${found.problems.length} problems; nothing is written until it is right`,
          },
        ]);
      await this.write(client, found, because, { personId, who: by.name });
      return found;
    });
    await this.parts.changed();
    return viewOf(judged);
  }

  async export(by: Identity, form: 'csv' | 'xlsx'): Promise<string | Buffer> {
    const sites = await this.parts.registration.sites(by.sites);
    const units = await this.parts.registry.ofSites(sites.map(({ id }) => id));
    const byId = new Map(sites.map((site) => [site.id, site]));
    const table = writeTable(
      units
        .filter(({ retiredAt }) => !retiredAt)
        .map((unit) => {
          const { key, name, timeZone, altitude_m, assumed } = byId.get(unit.site.id)!;
          const site: TableSite = {
            ...{ key, name, timeZone },
            altitude_m: assumed.includes('altitude_m') ? null : altitude_m,
          };
          return { site, draft: draftOf(entryOf(unit), unit.assumed) };
        }),
    );
    return form === 'csv' ? writeCsv(table) : writeWorkbook(table);
  }

  private async judge(
    by: Identity,
    wish: TableWish,
    client: Queryable = this.parts.database,
  ): Promise<Judged> {
    const table = await readSpreadsheet(wish.content);
    const mapping = wish.mapping ?? guessColumns(table.heads);
    const { sites, units, problems } = readTable(table, mapping);
    const keys = sites.map(({ key }) => key).filter((key) => seesSite(by, key));
    const known = new Map(
      (await this.parts.registration.sites(keys, client)).map((site) => [site.key, site]),
    );
    const registered = await this.parts.registry.ofSites(
      [...known.values()].map(({ id }) => id),
      client,
    );
    const before = new Map(registered.map((unit) => [`${unit.site.key}/${unit.key}`, unit]));
    const newSites = sites.filter(({ key }) => !known.has(key));
    problems.push(...newSites.flatMap((site) => problemsOfSite(by, site, units)));
    const judged: Judged = {
      ...{ table, mapping, problems, doubts: [], newSites, known },
      ...{ added: [], changed: [], same: 0 },
    };
    const altitudes = new Map(
      sites.map(({ key, altitude_m }) => [key, known.get(key)?.altitude_m ?? altitude_m ?? 0]),
    );
    for (const unit of units)
      judgeUnit(
        judged,
        unit,
        before.get(`${unit.site}/${unit.draft.key}`) ?? null,
        altitudes.get(unit.site)!,
        this.now_s(),
      );
    return judged;
  }

  private async write(
    client: Queryable,
    { newSites, known, added, changed }: Judged,
    because: Because,
    author: { personId: number; who: string },
  ): Promise<void> {
    const { registration } = this.parts;
    const sites = new Map([...known].map(([key, { id, altitude_m }]) => [key, { id, altitude_m }]));
    const noted = { ...because, ...author };
    for (const site of newSites) {
      const draft = {
        ...{
          key: site.key,
          name: site.name ?? site.key,
          altitude_m: site.altitude_m,
          timeZone: site.timeZone!,
        },
        ...{ latitude_deg: null, longitude_deg: null, climate: null, region: null, currency: null },
        energyPrice_per_kWh: null,
      };
      const id = await registration.writeSite(client, siteFieldsOf(draft));
      sites.set(site.key, { id, altitude_m: site.altitude_m ?? 0 });
      await registration.note(client, {
        ...{ ...noted, kind: 'add', siteId: id, unitId: null, subject: site.key, before: null, after: draft },
      });
    }
    const all = [...added, ...changed];
    for (let at = 0; at < all.length; at += atOnce) {
      const some = all.slice(at, at + atOnce);
      const ids = await writeUnits(
        ...([client, this.parts] as const),
        some.map(({ site, unit, before }) => ({ site: sites.get(site)!, unit, before })),
        because.holdsFrom_s,
      );
      await registration.noteAll(
        client,
        some.map(({ site, unit, before }, i) => ({
          ...{ ...noted, kind: before === null ? ('add' as const) : ('edit' as const) },
          ...{ siteId: sites.get(site)!.id, unitId: ids[i], subject: `${site}/${unit.key}` },
          ...{ before: before === null ? null : entryOf(before), after: unit },
        })),
      );
    }
  }
}

function problemsOfSite(by: Identity, site: TableSite, units: readonly TableUnit[]): TableProblem[] {
  const row = units.find((unit) => unit.site === site.key)?.row ?? 1;
  const problem = (sentence: string) => [{ row, column: null, sentence }];
  if (!seesSite(by, site.key) || by.sites !== null)
    return problem(`There is no site ${site.key} that your account covers.`);
  if (site.timeZone === null)
    return problem(`The site ${site.key} is not registered: add it first, or a column with its time zone.`);
  if (!isTimeZone(site.timeZone))
    return problem(`"${site.timeZone}" is no time zone; write it as Europe/Lisbon.`);
  return [];
}

/** Sorts a unit into new, changed or same, with what is wrong or doubtful at its cells. */
function judgeUnit(
  judged: Judged,
  table: TableUnit,
  before: FleetUnit | null,
  altitude_m: number,
  now_s: number,
): void {
  const { draft, row, places, site } = table;
  const at = (field: string, sentence: string): TableProblem => ({
    ...(places.get(field) ?? { row, column: null }),
    sentence,
  });
  // What a table leaves out of a registered unit stays as it is.
  const known = before === null ? null : draftOf(entryOf(before), before.assumed);
  const merged = known === null ? draft : mergedDraft(known, draft, places);
  const { unit, doubts } = judgeDraft(merged, before === null ? null : entryOf(before), {
    altitude_m,
    now_s,
  });
  for (const { field, refused, sentence } of doubts)
    (refused ? judged.problems : judged.doubts).push(at(field, filledIn(sentence)));
  if (unit === null) return;
  const entry = { site, unit, before };
  if (before === null) judged.added.push(entry);
  else if (sameEntry(entryOf(before), unit)) judged.same += 1;
  else judged.changed.push(entry);
}

type Draft = TableUnit['draft'];

/** A registered unit with what a table says of it: a cell that is empty, or not there, leaves what is known. */
function mergedDraft(known: Draft, said: Draft, places: TableUnit['places']): Draft {
  const over = <Part extends object>(old: Part, part: Part, prefix: string): Part =>
    ({
      ...old,
      ...Object.fromEntries(Object.entries(part).filter(([field]) => places.has(prefix + field))),
    }) as Part;
  const parts = <Part extends { number: number }>(old: Part[], own: Part[], name: string): Part[] =>
    [
      ...old.filter(({ number }) => !own.some((part) => part.number === number)),
      ...own.map((part, i) => {
        const before = old.find(({ number }) => number === part.number);
        return before === undefined ? part : over(before, part, `${name}.${i}.`);
      }),
    ].sort((a, b) => a.number - b.number);
  return {
    ...over(known, { ...said, circuits: known.circuits, modules: known.modules }, ''),
    circuits: parts(known.circuits, said.circuits, 'circuits'),
    modules: parts(known.modules, said.modules, 'modules'),
  };
}

/** A sentence with its numbers in SI, for a list of problems. */
const filledIn = ({
  text,
  quantities,
}: {
  text: string;
  quantities: Record<string, { kind: string; value: number }>;
}) =>
  text.replace(/\{(\w+)\}/g, (_, name: string) => {
    const { kind, value } = quantities[name];
    if (kind === 'temperature') return `${Math.round(value - 273.15)} °C`;
    if (kind === 'pressure') return `${(value / 1e5).toFixed(1)} bar absolute`;
    if (kind === 'power') return `${Math.round(value / 1000)} kW`;
    return `${Number(value.toPrecision(3))} J`;
  });

const viewOf = ({ table, mapping, problems, doubts, newSites, added, changed, same }: Judged) => ({
  columns: table.heads.map((head, i) => ({
    head,
    is: mapping[i] ?? null,
    examples: table.rows.slice(0, 3).map((row) => String(row[i] ?? '')),
  })),
  fields: tableColumns.map((column) => ({
    name: columnName(column),
    words: column.head,
    required: column.required ?? false,
  })),
  rows: table.rows.length,
  sites: newSites.length,
  added: added.length,
  changed: changed.length,
  same,
  problems: problems.slice(0, mostListed),
  problemCount: problems.length,
  doubts: doubts.slice(0, mostListed),
  doubtCount: doubts.length,
});
