import {
  draftOf,
  judgeDraft,
  whatIsMissing,
  type CompletedUnit,
  type MissingFact,
  type UnitDraft,
  type UnitEntry,
} from '@coldrounds/core';
import type { Identity } from '../../people/identity.js';
import type { FleetUnit } from '../../storage/fleet.js';
import type { FactsRepository } from '../../storage/registry/facts.repository.js';
import type {
  RegisteredSite,
  RegistrationRepository,
  RegistryChange,
} from '../../storage/registry/registration.repository.js';
import type { FleetRepository } from '../../storage/repositories/fleet.repository.js';
import { NotKnownError } from '../fleet.service.js';
import type { UnitPath } from '../paths.js';
import { siteCosts, siteDraftOf } from './site-fields.js';
import { entryOf } from './unit-entry.js';

export interface RegistrationViewParts {
  registration: RegistrationRepository;
  registry: FleetRepository;
  facts: FactsRepository;
}

/** Changes that a page shows. */
const mostChanges = 50;

/** What is registered, as people change it: as a draft, with what is not known and what that costs. */
export class RegistrationViewService {
  constructor(
    private readonly parts: RegistrationViewParts,
    private readonly now_s: () => number = () => Date.now() / 1000,
  ) {}

  async sites({ sites }: Identity) {
    return { sites: (await this.parts.registration.sites(sites)).map(siteView) };
  }

  async site(key: string) {
    const { registration, facts } = this.parts;
    const site = await this.siteOf(key);
    const [units, changes, waiting] = await Promise.all([
      registration.units(site.id),
      registration.changes({ siteId: site.id }, mostChanges),
      facts.waitingAt(site.id),
    ]);
    return {
      ...siteView(site),
      registered: units.map(({ id: _id, retiredAt, ...unit }) => ({
        ...unit,
        retiredAt: retiredAt?.toISOString() ?? null,
      })),
      missing: site.assumed.flatMap((field) => {
        const known = siteCosts[field];
        return known === undefined ? [] : [{ fields: [field], ...known }];
      }),
      convertingCircuits: waiting,
      changes: changes.map(changeView),
    };
  }

  async unit(path: UnitPath) {
    const { registration, registry } = this.parts;
    const site = await this.siteOf(path.site);
    const unit = await registry.unit(path.site, path.unit);
    if (unit === null) throw new NotKnownError(`There is no unit ${path.site}/${path.unit}.`);
    const entry = entryOf(unit);
    const draft = draftOf(entry, entry.assumed);
    const [version, changes] = await Promise.all([
      registration.unitVersion(unit.id),
      registration.changes({ unitId: unit.id }, mostChanges),
    ]);
    return {
      ...this.judged(draft, unit, site.altitude_m),
      draft,
      version,
      retiredAt: unit.retiredAt?.toISOString() ?? null,
      changes: changes.map(changeView),
    };
  }

  /** What is wrong or missing in a draft, as it is typed; of a unit that is registered already where `unit` names one. */
  async check(path: { site: string; unit: string | null }, draft: UnitDraft) {
    const site = await this.siteOf(path.site);
    const before = path.unit === null ? null : await this.parts.registry.unit(path.site, path.unit);
    return this.judged(draft, before, site.altitude_m);
  }

  private judged(draft: UnitDraft, before: FleetUnit | null, altitude_m: number) {
    const { unit, doubts } = judgeDraft(draft, before === null ? null : entryOf(before), {
      altitude_m,
      now_s: this.now_s(),
    });
    return {
      doubts,
      missing: unit === null ? ([] as MissingFact[]) : whatIsMissing(unit),
      // What is taken instead of each figure that is not known.
      taken: unit === null ? null : draftOf({ ...unit, ...known(unit) }, []),
    };
  }

  private async siteOf(key: string): Promise<RegisteredSite> {
    const site = await this.parts.registration.site(key);
    if (site === null) throw new NotKnownError(`There is no site ${key}.`);
    return site;
  }
}

/** Entries as if all of them were known. */
const known = ({ circuits, modules }: CompletedUnit) => ({
  circuits: circuits.map((circuit) => ({ ...circuit, assumed: [] })),
  modules: modules.map((module) => ({ ...module, assumed: [] })),
});

const siteView = ({ id: _id, assumed: _assumed, units, retired, ...site }: RegisteredSite) => ({
  draft: siteDraftOf({ ...site, assumed: _assumed }),
  units,
  retired,
});

const changeView = ({ changedAt, holdsFrom, before, after, ...change }: RegistryChange) => ({
  ...change,
  changedAt: changedAt.toISOString(),
  holdsFrom: holdsFrom?.toISOString() ?? null,
  differences: differencesOf(withPointsByQuantity(before), withPointsByQuantity(after)),
});

/** An entry with its Sparkplug metrics by the quantities that they are, in words. */
function withPointsByQuantity(entry: object | null): object | null {
  const { sparkplug, ...others } = (entry ?? {}) as Partial<UnitEntry>;
  if (!Array.isArray(sparkplug)) return entry;
  const inWords = sparkplug.map(({ group, edge, device, metric, stream, number, quantity, unit, scale }) => [
    [stream, number, quantity].filter((part) => part !== undefined).join(' '),
    `${[group, edge, device].filter(Boolean).join('/')}: ${metric}, in ${unit}${scale === undefined ? '' : ` times ${scale}`}`,
  ]);
  return { ...others, sparkplug: Object.fromEntries(inWords) as object };
}

export interface Difference {
  field: string;
  before: string | null;
  after: string | null;
}

const asWords = (value: unknown): string | null =>
  value === undefined || value === null
    ? null
    : typeof value === 'object'
      ? JSON.stringify(value)
      : String(value);

/** What a change made otherwise, figure by figure; all of a unit that is new is no difference. */
export function differencesOf(before: unknown, after: unknown, field = ''): Difference[] {
  if (JSON.stringify(before) === JSON.stringify(after)) return [];
  if (isPlain(before) && isPlain(after))
    return [...new Set([...Object.keys(before), ...Object.keys(after)])]
      .filter((name) => name !== 'assumed')
      .flatMap((name) => differencesOf(before[name], after[name], field === '' ? name : `${field} ${name}`));
  if (Array.isArray(before) && Array.isArray(after) && [...before, ...after].every(isPlain))
    return Array.from({ length: Math.max(before.length, after.length) }, (_, i) =>
      differencesOf(before[i], after[i], `${field} ${i + 1}`),
    ).flat();
  return field === '' ? [] : [{ field, before: asWords(before), after: asWords(after) }];
}

const isPlain = (value: unknown): value is Record<string, unknown> =>
  typeof value === 'object' && value !== null && !Array.isArray(value);
