import { quantity, statement, type Finding, type Statement } from '../../diagnosis/index.js';
import { bringModule, dischargeFirst, moduleFinding, type FindingContext } from './finding-parts.js';

/** The module loses its charge, or is not charged fully. */
export const drainFindings = (context: FindingContext): Finding[] => [
  ...leakageFindings(context),
  ...chargerFindings(context),
];

function leakageFindings({ module, assessment: { leakage }, now_s }: FindingContext): Finding[] {
  const findings: Finding[] = [];
  if (leakage.state === 'leaking') {
    const reasons: Statement[] = [];
    if (leakage.floatCurrent_A !== null)
      reasons.push(
        statement('Fully charged, it keeps drawing {current}; up to {limit} is normal.', {
          current: quantity('current', leakage.floatCurrent_A),
          limit: quantity('current', leakage.limit_A),
        }),
      );
    if (leakage.decayCurrent_A !== null)
      reasons.push(
        statement('While the mains were off, its voltage fell as if {current} were drawn.', {
          current: quantity('current', leakage.decayCurrent_A),
        }),
      );
    const quick = leakage.timeToUnable_s !== null && leakage.timeToUnable_s < 3600;
    findings.push(
      moduleFinding(module, {
        condition: 'leaking-charge',
        headline: statement('Backup module loses its charge too fast.'),
        reasons,
        certainty:
          (leakage.floatCurrent_A ?? 0) > leakage.limit_A && (leakage.decayCurrent_A ?? 0) > leakage.limit_A
            ? 'certain'
            : 'likely',
        urgency: quick ? 'this-week' : 'next-visit',
        score: quick ? 45 : 25,
        waiting:
          leakage.timeToUnable_s !== null
            ? statement('Without charging it could no longer shut the valve after {time}.', {
                time: quantity('duration', leakage.timeToUnable_s),
              })
            : statement('It cannot shut the valve even when full.'),
        separatingCheck: statement(
          'Disconnect the module from the controller and see whether its voltage still falls.',
        ),
        visit: [bringModule(module), dischargeFirst],
        firstSeen_s: now_s,
        lastSeen_s: now_s,
      }),
    );
  }
  return findings;
}

function chargerFindings({ module, assessment, now_s, settings }: FindingContext): Finding[] {
  const findings: Finding[] = [];
  const { charger, leakage } = assessment;
  const leaking = leakage.state === 'leaking';
  if (charger.state === 'under-voltage') {
    const reasons = [
      statement('On mains it is charged to {voltage}; its rated voltage is {target}.', {
        voltage: quantity('voltage', charger.voltage_V!),
        target: quantity('voltage', charger.target_V),
      }),
      statement('More than {tolerance} below the rated voltage counts as too low.', {
        tolerance: quantity('share', settings.chargerTolerance),
      }),
    ];
    findings.push(
      moduleFinding(module, {
        condition: 'charger-low',
        headline: statement(
          'Charger does not reach the rated voltage of the module: {voltage} of {target}.',
          {
            voltage: quantity('voltage', charger.voltage_V!),
            target: quantity('voltage', charger.target_V),
          },
        ),
        reasons,
        explanations: [
          {
            cause: 'the charger is set too low or is worn',
            weight: leaking ? 0.3 : 0.8,
            supports: leaking ? [] : [statement('The module draws no unusual current.')],
            contradicts: leaking ? [statement('The module draws an unusual current.')] : [],
          },
          {
            cause: 'leakage in the module pulls the charging voltage down',
            weight: leaking ? 0.7 : 0.2,
            supports: leaking ? [statement('The module draws an unusual current.')] : [],
            contradicts: leaking ? [] : [statement('The module draws no unusual current.')],
          },
        ],
        separatingCheck: statement('On site, measure the charger output with the module disconnected.'),
        certainty: 'certain',
        urgency: 'this-week',
        score: 45,
        waiting: statement(
          'Stored energy goes with the square of the voltage, so the closing reserve is lower than it should be.',
        ),
        visit: [statement('Bring a meter, a charger and a replacement module.'), dischargeFirst],
        firstSeen_s: now_s,
        lastSeen_s: now_s,
      }),
    );
  }
  return findings;
}
