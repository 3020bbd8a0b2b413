import type { Finding, FindingSubject } from '@coldrounds/core';
import { attentionOf, nothingFound, type PlacedDiagnosis } from '../../findings/attention.js';
import type { DiagnosisRepository } from '../../storage/repositories/findings/diagnosis.repository.js';
import type { FindingRepository } from '../../storage/repositories/findings/finding.repository.js';
import type { FleetRepository } from '../../storage/repositories/fleet.repository.js';
import {
  noRegion,
  type KeptPlace,
  type PlaceKey,
} from '../../storage/repositories/findings/attention.repository.js';
import type { Places, RoundQuery } from './round-query.js';
import { wordsOf } from './words.js';

/**
 * The round as it stood at a moment. Nothing is kept of past orders, so the diagnoses and findings of then are ranked anew, by what
 * ranking needs of them alone; the time this takes grows with the fleet.
 */
export async function pastPlaces(
  parts: {
    registry: Pick<FleetRepository, 'load' | 'addedAfter'>;
    findings: Pick<FindingRepository, 'headsAt'>;
    diagnoses: Pick<DiagnosisRepository, 'headsAt'>;
  },
  query: RoundQuery,
  urgency: number | undefined,
  cursor: PlaceKey | null,
): Promise<Places> {
  const [registry, later, heads, causes] = await Promise.all([
    parts.registry.load(),
    parts.registry.addedAfter(query.at_s!),
    parts.findings.headsAt(query.at_s!),
    parts.diagnoses.headsAt(query.at_s!),
  ]);
  const units = registry.units.filter(
    ({ id, site }) => !later.has(id) && (query.sites?.includes(site.key) ?? true),
  );
  const open = new Map<number, { id: string; document: Finding }[]>();
  for (const { id, unitId, ...head } of heads)
    open.set(unitId, [...(open.get(unitId) ?? []), { id, document: findingOf(head) }]);
  const diagnosed = new Map<number, PlacedDiagnosis[]>();
  for (const { unitId, waiting, headline, ...head } of causes)
    diagnosed.set(unitId, [
      ...(diagnosed.get(unitId) ?? []),
      { ...head, waiting: { score: waiting }, headline: { text: headline } },
    ]);
  const all = units
    .map((unit) => attentionOf(unit, open.get(unit.id) ?? [], diagnosed.get(unit.id) ?? []))
    .sort(inOrder);
  const sites = new Map(units.map(({ id, site }) => [id, site]));
  const heard = new Map(units.map(({ id, heardAt }) => [id, heardAt ? heardAt.getTime() / 1000 : Infinity]));
  const words = wordsOf(query.words);
  const found = all.filter(
    (place) =>
      (query.site === undefined || sites.get(place.unitId)!.key === query.site) &&
      (query.region === undefined || (sites.get(place.unitId)!.region ?? noRegion) === query.region) &&
      words.every((word) => place.words.includes(word)),
  );
  return {
    state: {
      units: units.length,
      circuits: units.reduce((sum, { circuits }) => sum + circuits.length, 0),
      modules: units.reduce((sum, { modules }) => sum + modules.length, 0),
      byUrgency: countsOf(all),
      silent: all.filter(({ silent }) => silent).length,
      neverHeard: all.filter(
        (place) => !(heard.get(place.unitId)! <= query.at_s!) && place.urgency === nothingFound,
      ).length,
    },
    counts: countsOf(found),
    page: found
      .filter(
        (place) =>
          (urgency === undefined || place.urgency === urgency) &&
          (cursor === null || inOrder(place, cursor) > 0),
      )
      .slice(0, query.limit + 1),
  };
}

const inOrder = (a: PlaceKey, b: PlaceKey): number =>
  a.urgency - b.urgency ||
  a.waiting - b.waiting ||
  a.findings - b.findings ||
  a.certainty - b.certainty ||
  (a.name < b.name ? -1 : a.name > b.name ? 1 : 0);

const countsOf = (places: readonly KeptPlace[]): number[] => {
  const counts = [0, 0, 0, 0, 0];
  for (const { urgency } of places) counts[urgency]++;
  return counts;
};

type Head = Omit<Awaited<ReturnType<FindingRepository['headsAt']>>[number], 'unitId' | 'id'>;

/** A finding with what its place on the round depends on; all else is left empty. */
const findingOf = ({ condition, subject, urgency, certainty, waiting, headline, causes }: Head): Finding => ({
  condition,
  subject: subject as FindingSubject,
  headline: { text: headline, quantities: {} },
  reasons: [],
  explanations: causes.map((cause) => ({ cause, weight: 0, supports: [], contradicts: [] })),
  separatingCheck: null,
  certainty,
  urgency,
  waiting: { score: waiting, sentence: { text: '', quantities: {} } },
  visit: [],
  hazards: [],
  firstSeen_s: 0,
  lastSeen_s: 0,
});
