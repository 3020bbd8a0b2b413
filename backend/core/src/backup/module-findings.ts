import {
  quantity,
  statement,
  type Certainty,
  type Explanation,
  type Finding,
  type Hazard,
  type Statement,
  type Urgency,
} from '../diagnosis/index.js';
import type { ModuleEntry } from '../telemetry/index.js';
import { failedToShut } from './proof.js';
import type { BackupSettings, ClosingJudgement, LimitDate, ModuleAssessment } from './types.js';

const day_s = 86400;
const month_s = 30 * day_s;
const electrical: Hazard[] = ['charged-capacitor', 'live-parts'];

const dischargeFirst = statement(
  'Before touching the module: isolate it, wait, and measure that the capacitors are discharged.',
);
const bringModule = (module: ModuleEntry) =>
  statement('Bring a replacement module ({capacitance}, {voltage}).', {
    capacitance: quantity('capacitance', module.ratedCapacitance_F),
    voltage: quantity('voltage', module.ratedVoltage_V),
  });
const askForTest = statement('Ask site for a self-test at standstill and compare it with this one.');

interface Draft {
  condition: string;
  headline: Statement;
  reasons: Statement[];
  explanations?: Explanation[];
  separatingCheck?: Statement | null;
  certainty: Certainty;
  urgency: Urgency;
  score: number;
  waiting: Statement;
  visit: Statement[];
  hazards?: Hazard[];
  firstSeen_s: number;
  lastSeen_s: number;
}

export function moduleFinding(module: ModuleEntry, draft: Draft): Finding {
  return {
    condition: draft.condition,
    subject: { kind: 'module', module: module.number },
    headline: draft.headline,
    reasons: draft.reasons,
    explanations: draft.explanations ?? [],
    separatingCheck: draft.separatingCheck ?? null,
    certainty: draft.certainty,
    urgency: draft.urgency,
    waiting: { score: Math.round(Math.min(100, Math.max(0, draft.score))), sentence: draft.waiting },
    visit: draft.visit,
    hazards: draft.hazards ?? electrical,
    firstSeen_s: draft.firstSeen_s,
    lastSeen_s: draft.lastSeen_s,
  };
}

export interface FindingContext {
  module: ModuleEntry;
  closings: readonly ClosingJudgement[];
  now_s: number;
  settings: BackupSettings;
  /** Mean drop of ln C and rise of ln ESR at the sudden change, where one was found. */
  assessment: Omit<ModuleAssessment, 'findings'>;
}

/** Every condition of one module that asks something of someone. */
export function moduleFindings(context: FindingContext): Finding[] {
  return [
    ...reserveFindings(context),
    ...suddenFindings(context),
    ...proofFindings(context),
    ...drainFindings(context),
    ...healthFindings(context),
  ];
}

function reserveFindings({ module, assessment, settings, now_s, closings }: FindingContext): Finding[] {
  const { reserve, forecast, reserveHistory } = assessment;
  if (reserve.state !== 'known') return [];
  const cold = reserve.cases.find((each) => each.situation === 'fully-open-coldest')!;
  const warm = reserve.cases.find((each) => each.situation === 'fully-open-now')!;
  const energies = statement(
    'It can deliver {usable} at {power}; one closing from fully open needs {needed}.',
    {
      usable: quantity('energy', cold.usableEnergy_J),
      power: quantity('power', module.drivePower_W),
      needed: quantity('energy', cold.closingEnergy_J),
    },
  );
  const under = (limit: number) => reserveHistory.find((point) => point.reserve < limit)?.time_s;
  const shared = {
    visit: [
      bringModule(module),
      dischargeFirst,
      statement('After the change, run a closing and see the valve shut.'),
    ],
    lastSeen_s: reserve.lastClosing_s,
  };
  if (cold.reserve < settings.unableReserve) {
    const nowToo = warm.reserve < settings.unableReserve;
    return [
      moduleFinding(module, {
        condition: 'cannot-close',
        headline: statement(
          nowToo
            ? 'Backup module cannot shut its valve from fully open: closing reserve {reserve}.'
            : 'Backup module cannot shut its valve from fully open on a cold day: closing reserve {reserve}.',
          { reserve: quantity('ratio', cold.reserve, (cold.interval.p90 - cold.interval.p10) / 2.5632) },
        ),
        reasons: [energies, ...reserve.standsOn],
        certainty: cold.interval.p90 < settings.unableReserve ? 'certain' : 'likely',
        urgency: nowToo ? 'today' : 'this-week',
        score: nowToo ? 95 : 75,
        waiting: statement(
          'At the next power loss the valve stays part open and refrigerant drifts into evaporator and compressor.',
        ),
        ...shared,
        firstSeen_s: under(settings.unableReserve) ?? reserve.lastClosing_s,
      }),
    ];
  }
  const fading = forecast.state === 'forecast' ? forecast.limits[0]! : null;
  const alreadyUnder = cold.reserve < settings.fadingReserve;
  const ahead_d = (fading?.date_s && (fading.date_s.p50 - now_s) / day_s) ?? Infinity;
  if (!alreadyUnder && !(ahead_d <= settings.warnAhead_d)) return [];

  const unable = forecast.state === 'forecast' ? forecast.limits[1]! : null;
  const unableSoon = unable?.date_s && unable.date_s.p10 - now_s < 2 * month_s;
  const soon = fading?.date_s && fading.date_s.p10 - now_s < 4 * month_s;
  const urgency: Urgency = unableSoon ? 'this-week' : alreadyUnder || soon ? 'next-visit' : 'watch';
  return [
    moduleFinding(module, {
      condition: 'reserve-fading',
      headline: fadingHeadline(cold.reserve, settings, alreadyUnder ? unable : fading, alreadyUnder),
      reasons: [
        energies,
        ...(forecast.state === 'forecast'
          ? [lossSentence(forecast.lossPerYear.p10, forecast.lossPerYear.p90), ...forecast.standsOn]
          : [forecast.sentence]),
        ...reserve.standsOn,
      ],
      explanations: [],
      certainty: alreadyUnder && cold.interval.p90 < settings.fadingReserve ? 'certain' : 'likely',
      urgency,
      score: urgency === 'this-week' ? 60 : alreadyUnder ? 40 : soon ? 25 : 12,
      waiting: statement(
        'Nothing is lost yet; waited too long, the valve will not shut at a power loss on a cold day.',
      ),
      ...shared,
      firstSeen_s: under(settings.fadingReserve) ?? closings[closings.length - 1]?.startedAt_s ?? now_s,
    }),
  ];
}

const lossSentence = (low: number, high: number) =>
  statement('It loses between {low} and {high} of its stored energy a year at the temperatures seen.', {
    low: quantity('share', Math.max(0, low)),
    high: quantity('share', high),
  });

function fadingHeadline(
  reserve: number,
  settings: BackupSettings,
  date: LimitDate | null,
  already: boolean,
): Statement {
  const now = { reserve: quantity('ratio', reserve) };
  if (date?.date_s) {
    const dates = {
      limit: quantity('ratio', date.limit),
      early: quantity('instant', date.date_s.p10),
      late: quantity('instant', date.date_s.p90),
    };
    return date.openEnded
      ? statement('Closing reserve {reserve}, falling: under {limit} from {early} at the earliest.', {
          ...now,
          limit: dates.limit,
          early: dates.early,
        })
      : statement('Closing reserve {reserve}, falling: under {limit} between {early} and {late}.', {
          ...now,
          ...dates,
        });
  }
  return already
    ? statement('Closing reserve {reserve} is under {limit}.', {
        ...now,
        limit: quantity('ratio', settings.fadingReserve),
      })
    : statement('Closing reserve {reserve}, falling.', now);
}

function suddenFindings({ module, assessment, settings }: FindingContext): Finding[] {
  const change = assessment.suddenChange;
  const findings: Finding[] = [];
  const cold =
    assessment.reserve.state === 'known'
      ? assessment.reserve.cases.find((each) => each.situation === 'fully-open-coldest')!
      : null;
  if (change && cold) {
    const reasons: Statement[] = [];
    if (change.capacitanceRatio !== null)
      reasons.push(
        statement('Capacitance fell to {share} of what it was, from one test to the next.', {
          share: quantity('share', change.capacitanceRatio),
        }),
      );
    if (change.esrRatio !== null)
      reasons.push(
        statement('ESR became {ratio} times what it was.', { ratio: quantity('ratio', change.esrRatio) }),
      );
    reasons.push(
      statement('{tests} tests since {at} show it.', {
        tests: quantity('count', change.tests),
        at: quantity('instant', change.at_s),
      }),
    );
    const esrUp = (change.esrRatio ?? 1) > 1.3;
    const cell = assessment.weakCell.sign === 'lost-cell-capacitance';
    findings.push(
      moduleFinding(module, {
        condition: 'sudden-loss',
        headline: statement(
          'Closing reserve dropped suddenly to {share} of what it was; it is {reserve} now.',
          {
            share: quantity('share', change.reserveRatio),
            reserve: quantity('ratio', cold.reserve),
          },
        ),
        reasons,
        explanations: [
          {
            cause: 'one cell of the string has lost capacitance',
            weight: esrUp ? 0.25 : cell ? 0.65 : 0.5,
            speaksFor: esrUp ? [] : [statement('Capacitance fell while ESR hardly rose.')],
            speaksAgainst: esrUp ? [statement('ESR rose with it.')] : [],
          },
          {
            cause: 'a connection or solder joint has gone bad',
            weight: esrUp ? 0.6 : 0.15,
            speaksFor: esrUp ? [statement('ESR rose from one test to the next.')] : [],
            speaksAgainst: esrUp ? [] : [statement('ESR hardly rose.')],
          },
          {
            cause: 'the test itself went wrong',
            weight: change.tests === 1 ? 0.35 : 0.15 / change.tests,
            speaksFor: change.tests === 1 ? [statement('Only one test shows it so far.')] : [],
            speaksAgainst: change.tests > 1 ? [statement('The tests after it agree.')] : [],
          },
        ],
        separatingCheck: askForTest,
        certainty: change.tests >= 3 ? 'certain' : change.tests === 2 ? 'likely' : 'possible',
        urgency: cold.reserve < settings.fadingReserve ? 'today' : 'this-week',
        score: cold.reserve < settings.fadingReserve ? 80 : 50,
        waiting: statement('What has failed once can fail further; the reserve left is not to be relied on.'),
        visit: [bringModule(module), dischargeFirst],
        firstSeen_s: change.at_s,
        lastSeen_s: assessment.reserve.state === 'known' ? assessment.reserve.lastClosing_s : change.at_s,
      }),
    );
  }
  const { weakCell } = assessment;
  if (weakCell.state === 'suspected' && weakCell.sign) {
    const sign = {
      'shorted-cell': statement(
        'Capacitance jumped up by what one cell of {cells} in series shorted would give.',
        {
          cells: quantity('count', module.cellsInSeries),
        },
      ),
      'lost-cell-capacitance': statement(
        'Capacitance jumped down while ESR hardly rose, as when one cell of {cells} in series fails.',
        { cells: quantity('count', module.cellsInSeries) },
      ),
      'decay-stops-after-one-cell': statement(
        'With the mains gone the voltage fell fast by about one cell of {cells} in series, then hardly further.',
        { cells: quantity('count', module.cellsInSeries) },
      ),
    }[weakCell.sign];
    findings.push(
      moduleFinding(module, {
        condition: 'weak-cell',
        headline: statement('One of the {cells} cells in series looks weak.', {
          cells: quantity('count', module.cellsInSeries),
        }),
        reasons: [sign],
        certainty: weakCell.sign === 'lost-cell-capacitance' ? 'possible' : 'likely',
        urgency: cold && cold.reserve < settings.fadingReserve ? 'this-week' : 'next-visit',
        score: 35,
        waiting: statement('The other cells carry more voltage than they are made for and age faster.'),
        separatingCheck: statement('On site, measure the voltage of each cell with the module charged.'),
        visit: [bringModule(module), dischargeFirst],
        firstSeen_s: change?.at_s ?? assessment.assessedAt_s,
        lastSeen_s: assessment.assessedAt_s,
      }),
    );
  }
  return findings;
}

function proofFindings({ module, assessment, closings, now_s }: FindingContext): Finding[] {
  const { proof } = assessment;
  if (proof.state === 'proven') return [];
  const last = [...closings].reverse().find(failedToShut);
  if (proof.reason === 'did-not-shut' && last) {
    const loss = last.kind === 'power-loss';
    const reasons = [
      statement('The valve stood at {before} when the closing began and at {after} when it ended.', {
        before: quantity('percent-opening', last.openingBefore_pct ?? 0),
        after: quantity('percent-opening', last.openingAfter_pct ?? 0),
      }),
    ];
    if (last.energyUsed_J !== null && last.energyExpected_J !== null)
      reasons.push(
        statement('{used} were taken from the module; the closing should have needed {expected}.', {
          used: quantity('energy', last.energyUsed_J),
          expected: quantity('energy', last.energyExpected_J),
        }),
      );
    const spent = last.voltageLowest_V !== null && last.voltageLowest_V <= 1.05 * module.minimumVoltage_V;
    return [
      moduleFinding(module, {
        condition: 'did-not-shut',
        headline: statement(
          loss
            ? 'Valve did not shut at the power loss of {at}.'
            : 'Valve did not shut in the self-test of {at}.',
          { at: quantity('instant', last.startedAt_s) },
        ),
        reasons,
        explanations: [
          {
            cause: 'the module ran out of energy',
            weight: spent ? 0.8 : 0.2,
            speaksFor: spent ? [statement('Its voltage came down to the converter minimum.')] : [],
            speaksAgainst: spent ? [] : [statement('Its voltage stayed over the converter minimum.')],
          },
          {
            cause: 'the valve sticks or its motor lost steps',
            weight: spent ? 0.2 : 0.8,
            speaksFor: spent ? [] : [statement('Energy was left when the valve stopped.')],
            speaksAgainst: [],
          },
        ],
        separatingCheck: askForTest,
        certainty: 'certain',
        urgency: loss ? 'today' : 'this-week',
        score: loss ? 90 : 70,
        waiting: statement('At the next power loss refrigerant can drift through the open valve again.'),
        visit: [
          bringModule(module),
          dischargeFirst,
          statement('Drive the valve by hand through its stroke and listen for lost steps.'),
        ],
        hazards: ['charged-capacitor', 'live-parts', 'pressure'],
        firstSeen_s: last.startedAt_s,
        lastSeen_s: last.startedAt_s,
      }),
    ];
  }
  const young =
    proof.reason === 'no-closing' && now_s - Date.parse(`${module.installedOn}T00:00:00Z`) / 1000 < month_s;
  return [
    moduleFinding(module, {
      condition: 'closing-unproven',
      headline: statement('Whether this module can shut its valve is unproven.'),
      reasons: [proof.sentence],
      certainty: 'certain',
      urgency: young ? 'watch' : 'next-visit',
      score: young ? 5 : 20,
      waiting: statement('A module that would fail at a power loss cannot be told from one that would not.'),
      visit: [
        statement(
          'At standstill, run a self-test in which the valve closes on stored energy, and see that it ends shut.',
        ),
        dischargeFirst,
      ],
      firstSeen_s: proof.lastProof_s ?? now_s,
      lastSeen_s: now_s,
    }),
  ];
}

function drainFindings({ module, assessment, now_s, settings }: FindingContext): Finding[] {
  const findings: Finding[] = [];
  const { charger, leakage } = assessment;
  const leaking = leakage.state === 'leaking';
  if (leaking) {
    const reasons: Statement[] = [];
    if (leakage.floatCurrent_A !== null)
      reasons.push(
        statement('Fully charged it keeps drawing {current}; {limit} would be the most expected.', {
          current: quantity('current', leakage.floatCurrent_A),
          limit: quantity('current', leakage.limit_A),
        }),
      );
    if (leakage.decayCurrent_A !== null)
      reasons.push(
        statement('With the mains gone its voltage fell as if {current} were drawn.', {
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
        separatingCheck: statement('Disconnected from the controller, see whether the voltage still falls.'),
        visit: [bringModule(module), dischargeFirst],
        firstSeen_s: now_s,
        lastSeen_s: now_s,
      }),
    );
  }
  if (charger.state === 'under-voltage') {
    const reasons = [
      statement('With mains present it stands at {voltage}; {target} is its rated voltage.', {
        voltage: quantity('voltage', charger.voltage_V!),
        target: quantity('voltage', charger.target_V),
      }),
      statement('Over {tolerance} less counts as not reached.', {
        tolerance: quantity('share', settings.chargerTolerance),
      }),
    ];
    findings.push(
      moduleFinding(module, {
        condition: 'charger-low',
        headline: statement('Charger does not bring the module to its voltage: {voltage} of {target}.', {
          voltage: quantity('voltage', charger.voltage_V!),
          target: quantity('voltage', charger.target_V),
        }),
        reasons,
        explanations: [
          {
            cause: 'the charger is set or worn below its voltage',
            weight: leaking ? 0.3 : 0.8,
            speaksFor: leaking ? [] : [statement('The module draws no unusual current.')],
            speaksAgainst: leaking ? [statement('The module draws an unusual current.')] : [],
          },
          {
            cause: 'leakage of the module pulls the charger down',
            weight: leaking ? 0.7 : 0.2,
            speaksFor: leaking ? [statement('The module draws an unusual current.')] : [],
            speaksAgainst: leaking ? [] : [statement('The module draws no unusual current.')],
          },
        ],
        separatingCheck: statement('On site, measure the charger output with the module disconnected.'),
        certainty: 'certain',
        urgency: 'this-week',
        score: 45,
        waiting: statement(
          'Stored energy goes with the square of the voltage: the closing reserve is smaller than it need be.',
        ),
        visit: [statement('Bring a meter, a charger and a replacement module.'), dischargeFirst],
        firstSeen_s: now_s,
        lastSeen_s: now_s,
      }),
    );
  }
  return findings;
}

function healthFindings({ module, assessment, now_s }: FindingContext): Finding[] {
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
