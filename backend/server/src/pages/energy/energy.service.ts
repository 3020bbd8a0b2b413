import type { Estimate } from '@coldrounds/core';
import { seesSite, type Identity } from '../../people/identity.js';
import type { FleetSite } from '../../registry/fleet.js';
import type { EnergyRepository, SavedRow } from '../../storage/repositories/energy.repository.js';
import type { FleetRepository } from '../../storage/repositories/fleet.repository.js';
import { Kept } from '../../study/kept.js';
import { byCurrency, costOf, energyOfCircuits, sumOf } from './energy.js';

export interface EnergyParts {
  energies: EnergyRepository;
  registry: Pick<FleetRepository, 'sites' | 'named'>;
}

const year_s = 365 * 86_400;

const savedOf = (rows: readonly SavedRow[]): Estimate | null =>
  sumOf(rows.map(({ energy_J, uncertainty_J }) => ({ value: energy_J, uncertainty: uncertainty_J })));

/** What is given away in energy and money while things wait, and what was saved since they were put right. */
export class EnergyService {
  private readonly figures: Kept<Awaited<ReturnType<EnergyService['read']>>>;

  constructor(
    private readonly parts: EnergyParts,
    private readonly now_s: () => number = () => Date.now() / 1000,
  ) {
    this.figures = new Kept(() => this.read());
  }

  /** All sites that the viewer may see, with their sum. */
  async fleet(viewer: Pick<Identity, 'sites'>) {
    const { asOf_s, sites } = await this.figures.get();
    const seen = sites.filter(({ site }) => seesSite(viewer, site.key));
    const told = seen.filter(({ given, saved }) => given !== null || saved !== null);
    const given = sumOf(told.flatMap((each) => each.given ?? []));
    const saved = sumOf(told.flatMap((each) => each.saved ?? []));
    return {
      asOf: new Date(asOf_s * 1000).toISOString(),
      units: told.reduce((sum, each) => sum + each.units, 0),
      givenAway_J_week: given,
      givenAwayCost_week: byCurrency(told.map((each) => costOf(each.given, each.site))),
      saved_J: saved,
      savedCost: byCurrency(told.map((each) => costOf(each.saved, each.site))),
      withoutPrice: told.filter(({ site }) => site.currency === null || site.energyPrice_per_kWh === null)
        .length,
      sites: told.map((each) => ({
        ...{ site: each.site.key, name: each.site.name, units: each.units },
        givenAway_J_week: each.given,
        givenAwayCost_week: costOf(each.given, each.site),
        saved_J: each.saved,
        savedCost: costOf(each.saved, each.site),
      })),
    };
  }

  /** Some units, those of which nothing is told left out. */
  async units(names: readonly string[], viewer: Pick<Identity, 'sites'>) {
    const units = await this.parts.registry.named(
      [...new Set(names)]
        .map((name) => name.split('/'))
        .map(([site, key]) => ({ site, key }))
        .filter(({ site }) => seesSite(viewer, site)),
    );
    const now_s = this.now_s();
    const [rows, saved] = await Promise.all([
      this.parts.energies.ofUnits(units.map(({ id }) => id)),
      this.parts.energies.saved({ from_s: now_s - year_s, to_s: now_s }, [
        ...new Set(units.map(({ site }) => site.id)),
      ]),
    ]);
    return {
      units: units.flatMap((unit) => {
        const circuits = rows.filter(({ unitId }) => unitId === unit.id);
        const own = saved.filter(({ unitId }) => unitId === unit.id);
        if (circuits.length === 0 && own.length === 0) return [];
        const given = energyOfCircuits(circuits.map(({ energy }) => energy));
        return [
          {
            ...{ site: unit.site.key, unit: unit.key },
            givenAway_J_week: given,
            givenAwayCost_week: costOf(given, unit.site),
            circuits: circuits.map(({ circuit, energy }) => ({
              circuit,
              ...energy,
              cost_week: costOf(energy.energy_J_week, unit.site),
            })),
            saved: own.map((row) => ({
              finding: row.findingId,
              since: row.since.toISOString(),
              until: row.until.toISOString(),
              energy_J: savedOf([row])!,
              cost: costOf(savedOf([row]), unit.site),
            })),
          },
        ];
      }),
    };
  }

  private async read() {
    const asOf_s = this.now_s();
    const [sites, given, saved] = await Promise.all([
      this.parts.registry.sites(),
      this.parts.energies.bySite(),
      this.parts.energies.saved({ from_s: asOf_s - year_s, to_s: asOf_s }),
    ]);
    const bySite = new Map(given.map((row) => [row.siteId, row]));
    return {
      asOf_s,
      sites: sites.map((site: FleetSite) => {
        const row = bySite.get(site.id);
        return {
          site,
          units: row?.units ?? 0,
          given: row?.given_J_week ?? null,
          saved: savedOf(saved.filter(({ siteId }) => siteId === site.id)),
        };
      }),
    };
  }
}
