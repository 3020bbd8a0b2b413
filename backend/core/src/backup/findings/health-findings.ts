import { quantity, statement, type Finding, type Statement } from '../../diagnosis/index.js';
import {
  askForTest,
  bringModule,
  dischargeFirst,
  moduleFinding,
  type FindingContext,
} from './finding-parts.js';

/** The health contact reports a fault, or should have and did not. */
export function healthFindings(context: FindingContext): Finding[] {
  const { module, assessment, now_s } = context;
  const { health } = assessment;
  if (health.state !== 'fault' && health.state !== 'stuck') return [];
  const since_s = health.since_s ?? now_s;
  if (health.state === 'stuck')
    return [
      moduleFinding(module, {
        condition: 'health-contact-stuck',
        headline: statement('Health contact of the module reports good although the readings say otherwise.'),
        reasons: [stuckReason(context, since_s)],
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
      headline: statement('Health contact of the module has reported a fault since {since}.', {
        since: quantity('instant', since_s),
      }),
      reasons: [
        sound
          ? statement('Voltage, leakage and tests show nothing wrong, so contact or wiring may be at fault.')
          : statement('Voltage, leakage or tests do not rule out a fault of the module.'),
      ],
      explanations: [
        { cause: 'the module itself is faulty', weight: sound ? 0.4 : 0.8, supports: [], contradicts: [] },
        { cause: 'contact or wiring is faulty', weight: sound ? 0.6 : 0.2, supports: [], contradicts: [] },
      ],
      separatingCheck: askForTest,
      certainty: 'certain',
      urgency: 'this-week',
      score: sound ? 30 : 50,
      waiting: statement('The module itself reports that it may not be able to shut the valve.'),
      visit: [bringModule(module), dischargeFirst],
      firstSeen_s: since_s,
      lastSeen_s: now_s,
    }),
  ];
}

function stuckReason({ module, assessment }: FindingContext, since_s: number): Statement {
  const { health, reserve } = assessment;
  const since = quantity('instant', since_s);
  if (health.sign === 'good-under-minimum-voltage')
    return statement(
      'At {since} it reported good while the voltage was below {minimum}, at which the drive stops.',
      {
        since,
        minimum: quantity('voltage', module.minimumVoltage_V),
      },
    );
  if (health.sign === 'good-without-reserve' && reserve.state === 'known') {
    const now = reserve.cases.find((each) => each.situation === 'fully-open-now')!;
    return statement(
      'It reports good although the module can deliver only {usable} and one closing from fully open needs {needed}.',
      { usable: quantity('energy', now.usableEnergy_J), needed: quantity('energy', now.closingEnergy_J) },
    );
  }
  return statement('It used to open at every discharge, but has not opened since the discharge of {since}.', {
    since,
  });
}
