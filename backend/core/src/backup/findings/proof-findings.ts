import { quantity, statement, type Finding } from '../../diagnosis/index.js';
import { installedAt_s } from '../../telemetry/index.js';
import {
  bringModule,
  closeAfterwards,
  dischargeFirst,
  moduleFinding,
  type FindingContext,
} from './finding-parts.js';
import { hazardsOf } from './hazards.js';
import { failedToShut, type ClosingJudgement, type ProofState } from '../closing/index.js';

type Unproven = Extract<ProofState, { state: 'unproven' }>;

const month_s = 30 * 86400;

const lookAtValve = [
  statement('Bring a spare valve motor with its cable and connector.'),
  statement(
    'Drive the valve through its stroke with the maker’s service tool, feel and listen for lost steps, and check plug and cable.',
  ),
];

/** The valve did not shut in its last closing, or has not been seen to shut for too long. */
export function proofFindings(context: FindingContext): Finding[] {
  const { proof } = context.assessment;
  if (proof.state === 'proven') return [];
  const last = [...context.closings].reverse().find(failedToShut);
  return [
    proof.reason === 'did-not-shut' && last ? didNotShut(context, last) : closingUnproven(context, proof),
  ];
}

function didNotShut({ module, refrigerant }: FindingContext, last: ClosingJudgement): Finding {
  const loss = last.kind === 'power-loss';
  const reasons = [
    statement('The valve was {before} open when the closing began and {after} open when it ended.', {
      before: quantity('percent-opening', last.openingBefore_pct ?? 0),
      after: quantity('percent-opening', last.openingAfter_pct ?? 0),
    }),
  ];
  if (last.energyUsed_J !== null && last.energyExpected_J !== null)
    reasons.push(
      statement('The closing took {used} from the module; it should have needed {expected}.', {
        used: quantity('energy', last.energyUsed_J),
        expected: quantity('energy', last.energyExpected_J),
      }),
    );
  const spent = last.voltageLowest_V !== null && last.voltageLowest_V <= 1.05 * module.minimumVoltage_V;
  return moduleFinding(module, {
    condition: 'did-not-shut',
    headline: statement(
      loss ? 'Valve did not shut at the power loss of {at}.' : 'Valve did not shut in the self-test of {at}.',
      { at: quantity('instant', last.startedAt_s) },
    ),
    reasons,
    explanations: [
      {
        cause: 'the module ran out of energy',
        weight: spent ? 0.8 : 0.2,
        supports: spent ? [statement('Its voltage fell to the minimum of the converter.')] : [],
        contradicts: spent ? [] : [statement('Its voltage stayed above the minimum of the converter.')],
      },
      {
        cause: 'the valve sticks or its motor lost steps',
        weight: spent ? 0.2 : 0.8,
        supports: spent ? [] : [statement('Energy was left when the valve stopped.')],
        contradicts: [],
      },
    ],
    // From part open less energy is needed, so a weak module still shuts the valve; a sticking valve does not.
    separatingCheck: statement(
      'Ask the site for a self-test from a small opening: a module short of energy still shuts the valve, a sticking valve stops where it stopped before.',
    ),
    certainty: 'certain',
    urgency: loss ? 'today' : 'this-week',
    score: loss ? 90 : 70,
    waiting: statement('At the next power loss refrigerant can drift through the open valve again.'),
    visit: spent ? [bringModule(module), dischargeFirst, closeAfterwards] : [...lookAtValve, dischargeFirst],
    hazards: hazardsOf(refrigerant === null ? [] : [refrigerant]),
    firstSeen_s: last.startedAt_s,
    lastSeen_s: last.startedAt_s,
  });
}

function closingUnproven({ module, now_s }: FindingContext, proof: Unproven): Finding {
  const young = proof.reason === 'no-closing' && now_s - installedAt_s(module) < month_s;
  return moduleFinding(module, {
    condition: 'closing-unproven',
    headline: statement('It is not proven that this module can shut its valve.'),
    reasons: [proof.sentence],
    certainty: 'certain',
    urgency: young ? 'watch' : 'next-visit',
    score: young ? 5 : 20,
    waiting: statement('It is not known whether the valve will shut at the next power loss.'),
    visit: [
      statement(
        'At standstill, run a self-test in which the valve closes on stored energy, and see that it shuts.',
      ),
      dischargeFirst,
    ],
    firstSeen_s: proof.lastProof_s ?? now_s,
    lastSeen_s: now_s,
  });
}
