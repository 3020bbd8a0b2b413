import { quantity, statement, type Finding } from '../diagnosis/index.js';
import {
  askForTest,
  bringModule,
  dischargeFirst,
  moduleFinding,
  type FindingContext,
} from './finding-parts.js';

/** What the health contact says, or ought to have said. */
export function healthFindings({ module, assessment, now_s }: FindingContext): Finding[] {
  const { health } = assessment;
  if (health.state !== 'fault' && health.state !== 'stuck') return [];
  const since_s = health.since_s ?? now_s;
  if (health.state === 'stuck')
    return [
      moduleFinding(module, {
        condition: 'health-contact-stuck',
        headline: statement('Health contact of the module never changes, although it had to.'),
        reasons: [
          statement(
            'It should have opened after the discharge of {at} and after those since, while the module was not full; it never did.',
            { at: quantity('instant', since_s) },
          ),
        ],
        certainty: 'likely',
        urgency: 'next-visit',
        score: 20,
        waiting: statement('A real fault of the module would not be reported.'),
        visit: [
          statement('Check contact and wiring by disconnecting the module at standstill.'),
          dischargeFirst,
        ],
        firstSeen_s: since_s,
        lastSeen_s: now_s,
      }),
    ];
  const sound =
    assessment.charger.state === 'reaches' &&
    assessment.leakage.state !== 'leaking' &&
    assessment.reserve.state === 'known';
  return [
    moduleFinding(module, {
      condition: 'health-fault',
      headline: statement('Health contact of the module says fault since {since}.', {
        since: quantity('instant', since_s),
      }),
      reasons: [
        sound
          ? statement('Voltage, leakage and tests show nothing wrong, so contact or wiring may be at fault.')
          : statement('Voltage or tests do not clear the module.'),
      ],
      explanations: [
        { cause: 'the module itself is faulty', weight: sound ? 0.4 : 0.8, speaksFor: [], speaksAgainst: [] },
        { cause: 'contact or wiring is faulty', weight: sound ? 0.6 : 0.2, speaksFor: [], speaksAgainst: [] },
      ],
      separatingCheck: askForTest,
      certainty: 'certain',
      urgency: 'this-week',
      score: sound ? 30 : 50,
      waiting: statement('The module says of itself that it may not shut the valve.'),
      visit: [bringModule(module), dischargeFirst],
      firstSeen_s: since_s,
      lastSeen_s: now_s,
    }),
  ];
}
