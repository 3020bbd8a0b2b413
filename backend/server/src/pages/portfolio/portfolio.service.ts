import { Kept } from '../../study/kept.js';
import type { AttentionRepository } from '../../storage/repositories/findings/attention.repository.js';
import type { ChangedUnit, ChangeRepository } from '../../storage/repositories/findings/change.repository.js';
import type { EnergyRepository } from '../../storage/repositories/energy.repository.js';
import type { FleetRepository } from '../../storage/repositories/fleet.repository.js';
import type { PortfolioRepository } from '../../storage/repositories/portfolio.repository.js';
import { costOf } from '../energy/energy.js';
import { iso } from '../references.js';
import { changeOf, kindsOfChange, type KindOfChange } from '../round/urgency-change.js';
import { wordsOf } from '../round/words.js';
import { nearbySites } from './nearby.js';
import {
  byRegion,
  changeBySite,
  rowsWith,
  siteRow,
  sortedRows,
  type PortfolioOrder,
} from './portfolio-rows.js';

export interface PortfolioParts {
  attention: Pick<AttentionRepository, 'state'>;
  portfolio: PortfolioRepository;
  changes: ChangeRepository;
  energies: Pick<EnergyRepository, 'bySite'>;
  registry: Pick<FleetRepository, 'sites'>;
}

export interface PortfolioQuery {
  by: 'site' | 'region';
  /** Keys of the only sites that may be seen; null: all. */
  sites: readonly string[] | null;
  sort: PortfolioOrder;
  descending: boolean;
  /** Words of the name or the region of the rows wanted. */
  q?: string;
  /** From 1. */
  page: number;
  limit: number;
}

const day_s = 86_400;
const month_s = 30 * day_s;
const quarter_s = 90 * day_s;
/** A window of two hours is judged soon after it ends; what is older than three of them is behind. */
const upToDate_s = 6 * 3600;

/** All sites or regions, with what a manager of many compares them by. */
export class PortfolioService {
  private readonly figures: Kept<Awaited<ReturnType<PortfolioService['read']>>>;

  constructor(
    private readonly parts: PortfolioParts,
    private readonly now_s: () => number = () => Date.now() / 1000,
  ) {
    this.figures = new Kept(() => this.read());
  }

  async portfolio({ by, sites: seen, sort, descending, q, page, limit }: PortfolioQuery) {
    const { asOf_s, judgingSince, ...all } = await this.figures.get();
    const isSeen = (key: string) => seen?.includes(key) ?? true;
    const sites = all.sites.filter(({ key }) => isSeen(key));
    const month = all.month.filter(({ siteKey }) => isSeen(siteKey));
    const quarter = all.quarter.filter(({ siteKey }) => isSeen(siteKey));
    const known = (ago_s: number) => judgingSince !== null && judgingSince.getTime() / 1000 <= asOf_s - ago_s;
    const change = known(quarter_s) ? changeBySite(quarter) : null;
    const rows = sites.map((site) =>
      siteRow(site, change && (change.get(site.siteId) ?? 0), all.energy.get(site.siteId)),
    );
    const places = by === 'site' ? rows : byRegion(rows);
    const sorted = sortedRows(rowsWith(places, wordsOf(q)), sort, descending);
    return {
      by,
      asOf: iso(asOf_s),
      judgingSince: judgingSince?.toISOString() ?? null,
      units: rows.reduce((sum, { units }) => sum + units, 0),
      month: { since: iso(asOf_s - month_s), known: known(month_s), counts: countsOf(month) },
      change: { since: iso(asOf_s - quarter_s), known: known(quarter_s) },
      rows: sorted
        .slice((page - 1) * limit, page * limit)
        .map(({ byUrgency, ...row }) => ({ ...row, byUrgency: named(byUrgency) })),
      places: places.length,
      total: sorted.length,
      page,
      pages: Math.max(1, Math.ceil(sorted.length / limit)),
    };
  }

  /** Sites near another one where something is due; only such as may be seen. */
  async nearby(key: string, seen: readonly string[] | null) {
    const { sites } = await this.figures.get();
    return {
      sites: nearbySites(
        key,
        sites.filter((site) => seen?.includes(site.key) ?? true),
      ).map(({ site, distance_m }) => ({
        key: site.key,
        name: site.name,
        distance_m: Math.round(distance_m),
        byUrgency: named(site.byUrgency),
      })),
    };
  }

  private async read() {
    const asOf_s = this.now_s();
    const { attention, portfolio, changes, energies, registry } = this.parts;
    const [{ judgingSince }, sites, month, quarter, given, prices] = await Promise.all([
      attention.state(),
      portfolio.sites(asOf_s - upToDate_s),
      changes.unitsSince(asOf_s - month_s),
      changes.unitsSince(asOf_s - quarter_s),
      energies.bySite(),
      registry.sites(),
    ]);
    const priced = new Map(prices.map((site) => [site.id, site]));
    const energy = new Map(
      given.map(({ siteId, given_J_week }) => {
        const site = priced.get(siteId);
        return [
          siteId,
          { given: given_J_week, cost: site === undefined ? null : costOf(given_J_week, site) },
        ];
      }),
    );
    return { asOf_s, judgingSince, sites, month, quarter, energy };
  }
}

const named = ([today, thisWeek, nextVisit, watch, quiet]: readonly number[]) => ({
  today,
  thisWeek,
  nextVisit,
  watch,
  quiet,
});

function countsOf(changed: readonly ChangedUnit[]): Record<KindOfChange, number> {
  const kinds = changed.map(({ before, now }) => changeOf(before, now));
  return Object.fromEntries(
    kindsOfChange.map((kind) => [kind, kinds.filter((each) => each === kind).length]),
  ) as Record<KindOfChange, number>;
}
