import { certainties, mergeWrongRefrigerant, rankRound, urgencies, type Finding } from '@coldrounds/core';
import { unitName, type FleetUnit } from '../registry/fleet.js';
import type { KeptPlace } from '../storage/repositories/attention.repository.js';

/** Place of a unit with no finding: after all others. */
export const nothingFound = urgencies.length;

/** What a search for words looks through: names, refrigerant, firmware, climate, headlines and causes. */
function wordsOf(unit: FleetUnit, findings: readonly Finding[]): string {
  return [
    unit.site.name,
    unit.site.climate,
    unit.name,
    unit.key,
    unit.refrigerant,
    unit.controllerFirmware,
    ...findings.flatMap(({ headline, explanations }) => [
      headline.text,
      ...explanations.map(({ cause }) => cause),
    ]),
  ]
    .join(' ')
    .toLowerCase();
}

/** Place of a unit on the round by its open findings, in the order that core gives (`rankRound`). */
export function attentionOf(unit: FleetUnit, open: readonly Finding[]): KeptPlace {
  const name = unitName(unit);
  const findings = mergeWrongRefrigerant(open, unit.circuits.length);
  const { rows, watching } = rankRound([{ key: name, findings }]);
  const row = rows[0] ?? watching[0];
  const base = { unitId: unit.id, siteId: unit.site.id, name, words: wordsOf(unit, findings) };
  if (row === undefined)
    return {
      ...base,
      urgency: nothingFound,
      waiting: 0,
      findings: 0,
      certainty: certainties.length,
      silent: false,
    };
  return {
    ...base,
    urgency: urgencies.indexOf(row.urgency),
    waiting: -row.waiting,
    findings: -row.findings.length,
    certainty: certainties.indexOf(row.findings[0].certainty),
    silent: findings.some(({ condition }) => condition === 'no-telemetry'),
  };
}

/** A change of the score by less is not told to open pages. Judgement: scores run from 0 to 100. */
const toldScore = 0.5;

/** Whether a reader of the round would see a difference. */
export function isTold(before: KeptPlace | undefined, now: KeptPlace): boolean {
  return (
    before === undefined ||
    before.urgency !== now.urgency ||
    before.findings !== now.findings ||
    before.certainty !== now.certainty ||
    before.name !== now.name ||
    before.silent !== now.silent ||
    before.words !== now.words ||
    Math.abs(before.waiting - now.waiting) >= toldScore
  );
}
