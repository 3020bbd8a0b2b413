import { judgeDraft, type UnitDraft } from '@coldrounds/core';
import { BadEntryError, ChangedMeanwhileError } from '../../people/bad-entry.js';
import type { Identity } from '../../people/identity.js';
import { personOf } from '../../people/identity.js';
import type { FleetUnit } from '../../storage/fleet.js';
import type { Database, Queryable } from '../../storage/index.js';
import { lockRegistry } from '../../storage/registry/facts.repository.js';
import type {
  NewRegistryChange,
  RegisteredSite,
  RegistrationRepository,
} from '../../storage/registry/registration.repository.js';
import type { FleetRepository } from '../../storage/repositories/fleet.repository.js';
import { NotKnownError } from '../fleet.service.js';
import type { FactKeeper } from '../facts/fact-keeper.js';
import type { UnitPath } from '../paths.js';
import type { SiteDraft } from './draft-schemas.js';
import { siteDraftOf, siteFieldsOf } from './site-fields.js';
import { entryOf } from './unit-entry.js';
import { movePart } from './part-move.js';
import { atHeight, writeUnits } from './unit-writer.js';

export interface RegistrationParts {
  database: Database;
  registration: RegistrationRepository;
  registry: FleetRepository;
  factKeeper: FactKeeper;
  /** Told after each change, so that other processes look again. */
  changed: () => Promise<void>;
}

/** Why something is changed, and from when on it holds; null: it was always so. */
export interface Because {
  reason: string;
  holdsFrom_s: number | null;
}

type Noted = Pick<NewRegistryChange, 'kind' | 'siteId' | 'unitId' | 'subject' | 'before' | 'after'>;

/** The registry, changed by people: each change with its author, its reason and the moment from which it holds. */
export class RegistrationService {
  constructor(
    private readonly parts: RegistrationParts,
    private readonly now_s: () => number = () => Date.now() / 1000,
  ) {}

  async addSite(by: Identity, draft: SiteDraft, because: Because): Promise<void> {
    await this.change(by, because, async (client) => {
      if ((await this.parts.registration.site(draft.key, client)) !== null)
        throw new BadEntryError([{ name: 'key', reason: 'is taken by another site' }]);
      const siteId = await this.parts.registration.writeSite(client, siteFieldsOf(draft));
      return [{ kind: 'add', siteId, unitId: null, subject: draft.key, before: null, after: draft }];
    });
  }

  /** Another height changes what its gauge pressures are; the key stays, as topics hang on it. */
  async changeSite(by: Identity, key: string, draft: SiteDraft, because: Because): Promise<void> {
    await this.change(by, because, async (client) => {
      const { registration, registry, factKeeper } = this.parts;
      const before = await this.siteOf(key, client);
      const units = await registry.ofSite(before.id, client);
      const fields = siteFieldsOf({ ...draft, key });
      await registration.writeSite(client, fields);
      await factKeeper.keep(client, atHeight(units, fields.altitude_m), because.holdsFrom_s);
      return [
        {
          ...{ kind: 'edit', siteId: before.id, unitId: null, subject: key },
          ...{ before: siteDraftOf(before), after: siteDraftOf(fields) },
        },
      ];
    });
  }

  async addUnit(by: Identity, siteKey: string, draft: UnitDraft, because: Because): Promise<void> {
    await this.change(by, because, async (client) => {
      const site = await this.siteOf(siteKey, client);
      if ((await this.parts.registry.unit(siteKey, draft.key, client)) !== null)
        throw new BadEntryError([{ name: 'key', reason: 'is taken by another unit of this site' }]);
      const unit = this.checked(draft, null, site.altitude_m);
      const [unitId] = await writeUnits(client, this.parts, [{ site, unit, before: null }], null);
      const subject = `${siteKey}/${draft.key}`;
      return [{ kind: 'add', siteId: site.id, unitId, subject, before: null, after: unit }];
    });
  }

  /** `version`: number of the newest change that its author has seen. */
  async changeUnit(
    by: Identity,
    path: UnitPath,
    draft: UnitDraft,
    because: Because & { version: number },
  ): Promise<void> {
    await this.change(by, because, async (client) => {
      const site = await this.siteOf(path.site, client);
      const before = await this.unitOf(path, client);
      if ((await this.parts.registration.unitVersion(before.id, client)) !== because.version)
        throw new ChangedMeanwhileError('Somebody changed this unit meanwhile. Open it again.');
      const unit = this.checked({ ...draft, key: path.unit }, before, site.altitude_m);
      await writeUnits(client, this.parts, [{ site, unit, before }], because.holdsFrom_s);
      await this.parts.registration.retireOthers(client, before.id, {
        circuits: unit.circuits.map(({ number }) => number),
        modules: unit.modules.map(({ number }) => number),
      });
      return [this.ofUnit('edit', before, entryOf(before), unit)];
    });
  }

  async retire(by: Identity, path: UnitPath, reason: string): Promise<void> {
    await this.change(by, { reason, holdsFrom_s: this.now_s() }, async (client) => {
      const unit = await this.unitOf(path, client);
      if (unit.retiredAt) throw new BadEntryError([{ name: 'unit', reason: 'is retired already' }]);
      await this.parts.registration.retire(client, unit.id);
      return [this.ofUnit('retire', unit)];
    });
  }

  async bringBack(by: Identity, path: UnitPath, reason: string): Promise<void> {
    await this.change(by, { reason, holdsFrom_s: this.now_s() }, async (client) => {
      const unit = await this.unitOf(path, client);
      if (!unit.retiredAt) throw new BadEntryError([{ name: 'unit', reason: 'is in service' }]);
      await this.parts.registration.bringBack(client, unit.id);
      return [this.ofUnit('bring-back', unit)];
    });
  }

  /** To another site, or to another key at the same one; its readings go with it. */
  async move(by: Identity, path: UnitPath, to: UnitPath, because: Because): Promise<void> {
    await this.change(by, because, async (client) => {
      const unit = await this.unitOf(path, client);
      const site = await this.siteOf(to.site, client);
      if ((await this.parts.registry.unit(to.site, to.unit, client)) !== null)
        throw new BadEntryError([{ name: 'key', reason: 'is taken by another unit of that site' }]);
      await this.parts.registration.move(client, unit.id, site.id, to.unit);
      await this.parts.factKeeper.keep(client, atHeight([unit], site.altitude_m), because.holdsFrom_s);
      return [{ ...this.ofUnit('move', unit, path, to), siteId: site.id }];
    });
  }

  /** A circuit or backup module to another unit; its readings go with it. */
  async movePart(
    by: Identity,
    part: { kind: 'circuit' | 'module'; number: number; of: UnitPath },
    to: { unit: UnitPath; number: number; circuits: readonly number[] },
    because: Because,
  ): Promise<void> {
    await this.change(by, because, async (client) => {
      const from = await this.unitOf(part.of, client);
      const there =
        part.of.site === to.unit.site && part.of.unit === to.unit.unit
          ? from
          : await this.unitOf(to.unit, client);
      return movePart(
        client,
        this.parts,
        { kind: part.kind, number: part.number, from, to: there, toNumber: to.number, circuits: to.circuits },
        because.holdsFrom_s,
      );
    });
  }

  private ofUnit(
    kind: Noted['kind'],
    unit: FleetUnit,
    before: object | null = null,
    after: object | null = null,
  ): Noted {
    const subject = `${unit.site.key}/${unit.key}`;
    return { kind, siteId: unit.site.id, unitId: unit.id, subject, before, after };
  }

  /** A draft with its assumptions; refuses what cannot be. */
  private checked(draft: UnitDraft, before: FleetUnit | null, altitude_m: number) {
    const { unit, doubts } = judgeDraft(draft, before === null ? null : entryOf(before), {
      altitude_m,
      now_s: this.now_s(),
    });
    const refused = doubts.filter((doubt) => doubt.refused);
    if (unit === null || refused.length > 0)
      throw new BadEntryError(refused.map(({ field, sentence }) => ({ name: field, reason: sentence.text })));
    return unit;
  }

  private async change(
    by: Identity,
    because: Because,
    work: (client: Queryable) => Promise<Noted[]>,
  ): Promise<void> {
    const personId = personOf(by);
    if (because.holdsFrom_s !== null && because.holdsFrom_s > this.now_s())
      throw new BadEntryError([{ name: 'holdsFrom', reason: 'must not lie in the future' }]);
    await this.parts.database.transaction(async (client) => {
      await lockRegistry(client);
      for (const noted of await work(client))
        await this.parts.registration.note(client, { ...noted, ...because, personId, who: by.name });
    });
    await this.parts.changed();
  }

  private async siteOf(key: string, client: Queryable): Promise<RegisteredSite> {
    const site = await this.parts.registration.site(key, client);
    if (site === null) throw new NotKnownError(`There is no site ${key}.`);
    return site;
  }

  private async unitOf({ site, unit: key }: UnitPath, client: Queryable): Promise<FleetUnit> {
    const unit = await this.parts.registry.unit(site, key, client);
    if (unit === null) throw new NotKnownError(`There is no unit ${site}/${key}.`);
    return unit;
  }
}
