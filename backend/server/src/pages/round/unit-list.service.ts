import { urgencies, type Urgency } from '@coldrounds/core';
import { nothingFound } from '../../findings/attention.js';
import type {
  AttentionRepository,
  UnitOrder,
} from '../../storage/repositories/findings/attention.repository.js';
import type { FleetRepository } from '../../storage/repositories/fleet.repository.js';
import type { ReadingRepository } from '../../storage/repositories/readings/reading.repository.js';
import { iso, siteReference, unitReference } from '../references.js';
import { wordsOf } from './words.js';

export interface UnitListParts {
  attention: AttentionRepository;
  registry: Pick<FleetRepository, 'units'>;
  readings: ReadingRepository;
}

export interface UnitListQuery {
  site?: string;
  /** Keys of the only sites that may be seen; null or left out: all. */
  sites?: readonly string[] | null;
  urgency?: Urgency | 'quiet';
  words?: string;
  sort: UnitOrder;
  descending: boolean;
  /** From 1. */
  page: number;
  limit: number;
}

/** Every unit of the registry, a page at a time. */
export class UnitListService {
  constructor(private readonly parts: UnitListParts) {}

  async list(query: UnitListQuery) {
    const { attention, registry, readings } = this.parts;
    const filter = { site: query.site, sites: query.sites, words: wordsOf(query.words) };
    const urgency =
      query.urgency === undefined
        ? undefined
        : query.urgency === 'quiet'
          ? nothingFound
          : urgencies.indexOf(query.urgency);
    const filtered = filter.site !== undefined || filter.words.length > 0;
    const [places, state, counts] = await Promise.all([
      attention.units(
        { ...filter, urgency },
        { by: query.sort, descending: query.descending },
        query.limit,
        (query.page - 1) * query.limit,
      ),
      query.sites == null ? attention.state() : attention.stateOf(query.sites),
      filtered ? attention.count(filter) : null,
    ]);
    const found = counts ?? state.byUrgency;
    const total = urgency === undefined ? found.reduce((sum, count) => sum + count, 0) : found[urgency];
    const byId = new Map(
      (await registry.units(places.map(({ unitId }) => unitId))).map((unit) => [unit.id, unit]),
    );
    const newest = await readings.newest_s(
      [...byId.values()].flatMap(({ circuits }) => circuits.map(({ id }) => id)),
    );
    return {
      total,
      page: query.page,
      pages: Math.max(1, Math.ceil(total / query.limit)),
      fleet: state.units,
      units: places.flatMap(({ unitId, urgency: place }) => {
        const unit = byId.get(unitId);
        if (unit === undefined) return [];
        const times = unit.circuits.flatMap(({ id }) => newest.get(id) ?? []);
        return {
          site: siteReference(unit.site),
          unit: unitReference(unit),
          circuits: unit.circuits.map(({ number }) => number),
          modules: unit.modules.map(({ number }) => number),
          urgency: urgencies[place] ?? null,
          lastReading: times.length === 0 ? null : iso(Math.max(...times)),
          online: unit.online,
        };
      }),
    };
  }
}
