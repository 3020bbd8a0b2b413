import type { SiteEntry } from '@coldrounds/core';
import type { FleetUnit } from '../../storage/fleet.js';
import type { Queryable } from '../../storage/index.js';
import { lockRegistry } from '../../storage/registry/facts.repository.js';
import type { RegisteredSite, SiteFields } from '../../storage/registry/registration.repository.js';
import { readRegistry } from '../registry-document.js';
import { sameEntry } from './same-entry.js';
import { entryOf } from './unit-entry.js';
import type { RegistrationParts } from './registration.service.js';
import { atHeight, writeUnits, type UnitToWrite } from './unit-writer.js';

const fieldsOf = ({ units: _units, ...site }: SiteEntry): SiteFields => ({
  ...site,
  region: site.region ?? null,
  currency: site.currency ?? null,
  energyPrice_per_kWh: site.energyPrice_per_kWh ?? null,
  assumed: [],
});

const who = 'registry document';

/**
 * Takes a registry document: adds what is new, corrects what is known as if it had always been so, and takes nothing
 * away, since telemetry may hang on it. What is the same already is not touched.
 *
 * `keepChanged`: what a person has changed since stays as it is, as for a document that is read at every start.
 */
export class DocumentImport {
  constructor(private readonly parts: RegistrationParts) {}

  async import(document: unknown, keepChanged = false): Promise<{ sites: number; units: number }> {
    const { sites } = readRegistry(document);
    await this.parts.database.transaction(async (client) => {
      await lockRegistry(client);
      const changed = keepChanged ? await this.parts.registration.changedByPeople(client) : new Set<string>();
      for (const site of sites) await this.importSite(client, site, changed);
    });
    await this.parts.changed();
    return { sites: sites.length, units: sites.reduce((sum, site) => sum + site.units.length, 0) };
  }

  private async importSite(client: Queryable, site: SiteEntry, changed: ReadonlySet<string>): Promise<void> {
    const { registration, registry, factKeeper } = this.parts;
    const known = await registration.site(site.key, client);
    // As they stand before the site is written: another height changes what their gauges read from.
    const before = new Map(
      known === null ? [] : (await registry.ofSite(known.id, client)).map((unit) => [unit.key, unit]),
    );
    const fields = known !== null && changed.has(site.key) ? known : fieldsOf(site);
    const siteId =
      known !== null && sameSite(known, fields) ? known.id : await registration.writeSite(client, fields);
    const units = site.units.flatMap((unit): UnitToWrite[] => {
      const own: FleetUnit | null = before.get(unit.key) ?? null;
      if (own !== null && (changed.has(`${site.key}/${unit.key}`) || sameUnit(own, unit, fields))) return [];
      return [{ site: { id: siteId, altitude_m: fields.altitude_m }, unit, before: own }];
    });
    const ids = await writeUnits(client, this.parts, units, null);
    const written = new Set(units.map(({ unit }) => unit.key));
    const others = [...before.values()].filter(({ key }) => !written.has(key));
    await factKeeper.keep(client, atHeight(others, fields.altitude_m), null);
    await registration.noteAll(
      client,
      units.map(({ unit, before: own }, i) => ({
        ...{ personId: null, who, kind: 'document', siteId, unitId: ids[i] },
        ...{ subject: `${site.key}/${unit.key}`, reason: 'A registry document was read in.' },
        ...{ holdsFrom_s: null, before: own === null ? null : entryOf(own), after: unit },
      })),
    );
  }
}

/** Whether nothing of the site itself would change. */
function sameSite(
  { id: _id, units: _units, retired: _retired, ...own }: RegisteredSite,
  site: SiteFields,
): boolean {
  const { key, name, altitude_m, latitude_deg, longitude_deg, timeZone, climate } = site;
  const { region, currency, energyPrice_per_kWh, assumed } = site;
  return sameEntry(own, {
    ...{ key, name, altitude_m, latitude_deg, longitude_deg, timeZone, climate },
    ...{ region, currency, energyPrice_per_kWh, assumed },
  });
}

/** Whether nothing would change; parts that a document does not name stay, so only those it names are compared. */
function sameUnit(own: FleetUnit, unit: SiteEntry['units'][number], site: SiteFields): boolean {
  const entry = entryOf(own);
  const named = <Part extends { number: number }>(all: Part[], of: readonly Part[]) =>
    all.filter(({ number }) => of.some((part) => part.number === number));
  return (
    own.site.altitude_m === site.altitude_m &&
    sameEntry(
      {
        ...entry,
        circuits: named(entry.circuits, unit.circuits),
        modules: named(entry.modules, unit.modules),
      },
      {
        ...unit,
        evaporator: unit.evaporator ?? 'dry-expansion',
        reversible: unit.reversible ?? false,
        sparkplug: unit.sparkplug ?? entry.sparkplug,
        assumed: unit.assumed ?? [],
      },
    )
  );
}
