import type { Finding, FindingSubject } from '@coldrounds/core';
import { attentionOf, nothingFound, type PlacedDiagnosis } from '../../findings/attention.js';
import type { DiagnosisRepository } from '../../storage/repositories/findings/diagnosis.repository.js';
import type { FindingRepository } from '../../storage/repositories/findings/finding.repository.js';
import type { FleetRepository } from '../../storage/repositories/fleet.repository.js';
import { noRegion, type KeptPlace } from '../../storage/repositories/findings/attention.repository.js';
import { compareKeys, keyOf } from '../../storage/repositories/findings/round-orders.js';
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
  after: readonly (number | string)[] | null,
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
  const open = new Map<number, { id: string; document: Finding; openedAt: Date }[]>();
  for (const { id, unitId, openedAt, ...head } of heads)
    open.set(unitId, [...(open.get(unitId) ?? []), { id, document: findingOf(head), openedAt }]);
  const diagnosed = new Map<number, PlacedDiagnosis[]>();
  for (const { unitId, waiting, headline, ...head } of causes)
    diagnosed.set(unitId, [
      ...(diagnosed.get(unitId) ?? []),
      { ...head, waiting: { score: waiting }, headline: { text: headline } },
    ]);
  const order = query.sort ?? 'urgency';
  const all = units
    .map((unit) => {
      const place = attentionOf(unit, open.get(unit.id) ?? [], diagnosed.get(unit.id) ?? []);
      return { ...place, key: keyOf(order, { ...place, siteName: unit.site.name }) };
    })
    .sort((a, b) => compareKeys(a.key, b.key));
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
          (after === null || compareKeys(place.key, after) > 0),
      )
      .slice(0, query.limit + 1),
  };
}

const countsOf = (places: readonly KeptPlace[]): number[] => {
  const counts = [0, 0, 0, 0, 0];
  for (const { urgency } of places) counts[urgency]++;
  return counts;
};

type Head = Omit<Awaited<ReturnType<FindingRepository['headsAt']>>[number], 'unitId' | 'id' | 'openedAt'>;

/** A finding with what its place on the round depends on; all else is left empty. */
const findingOf = ({
  condition,
  subject,
  urgency,
  certainty,
  waiting,
  headline,
  causes,
  firstSeen_s,
}: Head): Finding => ({
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
  firstSeen_s,
  lastSeen_s: 0,
});
