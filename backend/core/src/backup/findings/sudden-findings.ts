import { quantity, statement, type Finding, type Statement } from '../../diagnosis/index.js';
import {
  askForTest,
  bringModule,
  dischargeFirst,
  moduleFinding,
  type FindingContext,
} from './finding-parts.js';
import { caseUncertainty } from '../reserve/index.js';

/** The reserve dropped from one test to the next, or one cell of the string looks weak. */
export const suddenFindings = (context: FindingContext): Finding[] => [
  ...suddenLoss(context),
  ...weakCell(context),
];

const coldCase = ({ assessment: { reserve } }: FindingContext) =>
  reserve.state === 'known' ? reserve.cases.find((each) => each.situation === 'fully-open-coldest')! : null;

function suddenLoss(context: FindingContext): Finding[] {
  const { module, assessment, settings } = context;
  const change = assessment.suddenChange;
  const findings: Finding[] = [];
  const cold = coldCase(context);
  if (change && cold) {
    const reasons: Statement[] = [];
    if (change.capacitanceRatio !== null)
      reasons.push(
        statement('Capacitance fell to {share} of what it was, from one test to the next.', {
          share: quantity('share', change.capacitanceRatio, change.capacitanceRatioUncertainty ?? undefined),
        }),
      );
    if (change.esrRatio !== null)
      reasons.push(
        statement('ESR rose to {ratio} times what it was.', {
          ratio: quantity('ratio', change.esrRatio, change.esrRatioUncertainty ?? undefined),
        }),
      );
    reasons.push(
      statement('Tests that show it since {at}: {tests}.', {
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
            reserve: quantity('ratio', cold.reserve, caseUncertainty(cold)),
          },
        ),
        reasons,
        explanations: [
          {
            cause: 'one cell of the string has lost capacitance',
            weight: esrUp ? 0.25 : cell ? 0.65 : 0.5,
            supports: esrUp ? [] : [statement('Capacitance fell while ESR hardly rose.')],
            contradicts: esrUp ? [statement('ESR rose with it.')] : [],
          },
          {
            cause: 'a connection or solder joint has gone bad',
            weight: esrUp ? 0.6 : 0.15,
            supports: esrUp ? [statement('ESR rose from one test to the next.')] : [],
            contradicts: esrUp ? [] : [statement('ESR hardly rose.')],
          },
          {
            cause: 'the test itself went wrong',
            weight: change.tests === 1 ? 0.35 : 0.15 / change.tests,
            supports: change.tests === 1 ? [statement('Only one test shows it so far.')] : [],
            contradicts: change.tests > 1 ? [statement('The tests after it agree.')] : [],
          },
        ],
        separatingCheck: askForTest,
        certainty: change.tests >= 3 ? 'certain' : change.tests === 2 ? 'likely' : 'possible',
        urgency: cold.reserve < settings.fadingReserve ? 'today' : 'this-week',
        score: cold.reserve < settings.fadingReserve ? 80 : 50,
        waiting: statement('What has failed once can get worse; do not rely on the reserve that is left.'),
        visit: [bringModule(module), dischargeFirst],
        firstSeen_s: change.at_s,
        lastSeen_s: assessment.reserve.state === 'known' ? assessment.reserve.lastClosing_s : change.at_s,
      }),
    );
  }
  return findings;
}

function weakCell(context: FindingContext): Finding[] {
  const { module, assessment, settings } = context;
  const findings: Finding[] = [];
  const cold = coldCase(context);
  const { weakCell: weak } = assessment;
  if (weak.state === 'suspected' && weak.sign) {
    const sign = {
      'shorted-cell': statement(
        'Capacitance rose by as much as one shorted cell of {cells} in series would cause.',
        {
          cells: quantity('count', module.cellsInSeries),
        },
      ),
      'lost-cell-capacitance': statement(
        'Capacitance dropped while ESR hardly rose, as when one cell of {cells} in series fails.',
        { cells: quantity('count', module.cellsInSeries) },
      ),
      'decay-stops-after-one-cell': statement(
        'With the mains off, the voltage fell quickly by about that of one cell of {cells} in series, then hardly further.',
        { cells: quantity('count', module.cellsInSeries) },
      ),
    }[weak.sign];
    findings.push(
      moduleFinding(module, {
        condition: 'weak-cell',
        headline: statement('One of the {cells} cells in series looks weak.', {
          cells: quantity('count', module.cellsInSeries),
        }),
        reasons: [sign],
        certainty: weak.sign === 'lost-cell-capacitance' ? 'possible' : 'likely',
        urgency: cold && cold.reserve < settings.fadingReserve ? 'this-week' : 'next-visit',
        score: 35,
        waiting: statement('The other cells carry more voltage than they are rated for and age faster.'),
        separatingCheck: statement('On site, measure the voltage of each cell with the module charged.'),
        visit: [bringModule(module), dischargeFirst],
        firstSeen_s: assessment.suddenChange?.at_s ?? assessment.assessedAt_s,
        lastSeen_s: assessment.assessedAt_s,
      }),
    );
  }
  return findings;
}
