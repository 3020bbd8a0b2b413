import { faultLevels, severities, type Severity } from '@coldrounds/simulator';
import { faultDays, normalDays } from './run-case.js';
import { slowOnset_days, type Score } from './run-score.js';
import {
  calibrationOf,
  confusionsOf,
  foundOf,
  tallyHealthy,
  tallyOf,
  type FaultRow,
  type Tally,
} from './tally.js';

const percent = (part: number, whole: number): string =>
  whole === 0 ? '-' : `${Math.round((100 * part) / whole)} %`;
const median = (sorted: readonly number[]): string =>
  sorted.length === 0 ? '-' : `${sorted[sorted.length >> 1]}`;

const table = (head: readonly string[], rows: readonly (readonly (string | number)[])[]): string =>
  [head, head.map(() => '---'), ...rows].map((row) => `| ${row.join(' | ')} |`).join('\n');

/** The whole score as a page that a customer can read. */
export function reportOf(score: Score, date: string): string {
  return [
    '# How well faults are found',
    `Measured on ${date} by \`npm run score\`, ${score.seeds.length === 1 ? 'seed' : 'seeds'} ${score.seeds.join(', ')}: ${caseCount(score)} simulated cases.`,
    whatWasTested(score),
    '## In short',
    inShort(score),
    '## By fault and severity',
    'Each line: of so many units with this fault, how many were named right in the first line of the unit, how many were told as something else (in brackets: above `watch`), how many went unnoticed, and on how many nothing could be judged. Days: the median time until the right cause stood first, looked at after 1, 3 and 7 days.',
    faultTable(score.rows),
    '## With a slow onset',
    slowTable(score.slow),
    '## By what the site sends',
    telemetryTable(score.rows),
    '## What the stated likelihood is worth',
    'All diagnoses of all cases by the likelihood that was stated with them: how many of them were true. Where the two percentages agree, the stated one can be taken at its word; aimed at is a difference of 7 points at most in each band of 50 or more.',
    calibrationTable(score),
    '## Two faults at once',
    pairTable(score),
    '## Units with nothing wrong',
    healthyText(score),
    '## What is taken for what',
    confusionTable(score.rows),
    '## What the severities are',
    severityTable(),
    whatCannotBeTold,
    '',
  ].join('\n\n');
}

const caseCount = ({ rows, slow, pairs, healthy }: Score): number =>
  healthy.length + [...rows, ...slow, ...pairs].reduce((sum, { results }) => sum + results.length, 0);

const whatWasTested = ({ rows, healthy }: Score): string =>
  `Every case is a simulated chiller of its own make, load and weather (eight kinds: water- and air-cooled, one and two circuits, seven refrigerants, some without power, flow or the condenser's side), read every 10 s. It runs ${normalDays} days with nothing wrong, from which its normal is learned; then the fault begins at once, and ${faultDays} days are judged. The simulator is physics of its own and shares no analysis with what judges it. ${unitsOf(rows)} units carry each fault at each severity, ${healthy.length} units have nothing wrong. A simulated chiller is tidier than a real one: take these numbers as what is possible, not as a promise for a given machine.`;

function unitsOf(rows: readonly FaultRow[]): string {
  const counts = rows.map(({ results }) => results.length);
  const [least, most] = [Math.min(...counts), Math.max(...counts)];
  return least === most ? `${most}` : `${least} to ${most}`;
}

function inShort(score: Score): string {
  const line = (label: string, wanted: readonly Severity[]) => {
    const tally = tallyOf(
      score.rows
        .filter(({ severity, fault }) => wanted.includes(severity) && isTold(fault))
        .flatMap(({ results }) => results),
    );
    const found = foundOf(tally);
    return [
      label,
      tally.cases,
      percent(found, tally.cases),
      percent(tally.correct, found),
      percent(tally.misdiagnosedAboveWatch, tally.cases),
    ];
  };
  return table(
    [
      'severity',
      'cases',
      'found',
      'first cause right, of those found',
      'told as something else, above watch',
    ],
    [
      line('slight', ['slight']),
      ['aimed at', '', '50 %', '', '2 %'],
      line('medium', ['medium']),
      line('heavy', ['heavy']),
      ['aimed at', '', '90 %', '90 %', '2 %'],
    ],
  );
}

/** A drifting clock is told apart from what is wrong with a machine. */
const isTold = (fault: string): boolean => fault !== 'clock of a gateway drifts';

function faultTable(rows: readonly FaultRow[]): string {
  return table(
    ['fault', 'severity', 'units', 'right', 'something else', 'unnoticed', 'not judged', 'days'],
    rows.map(({ fault, severity, results }) => {
      const tally = tallyOf(results);
      return [fault, severity, ...cells(tally)];
    }),
  );
}

function slowTable(rows: readonly FaultRow[]): string {
  if (rows.length === 0) return 'Not run.';
  return `The heavy fault, grown evenly over ${slowOnset_days} of the ${faultDays} days.\n\n${table(
    ['fault', 'units', 'right', 'something else', 'unnoticed', 'not judged', 'days'],
    rows.map(({ fault, results }) => [fault, ...cells(tallyOf(results))]),
  )}`;
}

const cells = (tally: Tally): (string | number)[] => [
  tally.cases,
  tally.correct,
  `${tally.misdiagnosed} (${tally.misdiagnosedAboveWatch})`,
  tally.missed,
  tally.noResponse,
  median(tally.days),
];

function telemetryTable(rows: readonly FaultRow[]): string {
  const told = rows.filter(({ fault }) => isTold(fault)).flatMap(({ results }) => results);
  const kinds = [...new Set(told.map(({ unit }) => unit.telemetry))];
  return table(
    ['sent', 'cases', 'found', 'first cause right, of those found'],
    kinds.map((kind) => {
      const tally = tallyOf(told.filter(({ unit }) => unit.telemetry === kind));
      const found = foundOf(tally);
      return [kind, tally.cases, percent(found, tally.cases), percent(tally.correct, found)];
    }),
  );
}

function calibrationTable({ rows, slow, pairs, healthy }: Score): string {
  const all = [
    ...[...rows, ...slow, ...pairs].flatMap(({ results }) => results.flatMap(({ stated }) => stated)),
    ...healthy.flatMap(({ stated }) => stated),
  ];
  return table(
    ['stated', 'diagnoses', 'mean stated', 'true'],
    calibrationOf(all).map(({ from, to, count, stated, right }) => [
      `${Math.round(100 * from)} to ${Math.round(100 * to)} %`,
      count,
      count === 0 ? '-' : `${Math.round(100 * stated)} %`,
      count === 0 ? '-' : `${Math.round(100 * right)} %`,
    ]),
  );
}

function pairTable({ pairs }: Score): string {
  if (pairs.length === 0) return 'Not run.';
  const all = pairs.flatMap(({ results }) => results);
  const both = all.filter(({ named }) => named.every(Boolean)).length;
  const lines = pairs.map(({ pair, results }) => [
    pair.join(' + '),
    results.length,
    results.filter(({ named }) => named.every(Boolean)).length,
    results.filter(({ named }) => named.some(Boolean)).length,
  ]);
  return `Both at medium severity, begun together. Both were named in ${both} of ${all.length} (${percent(both, all.length)}); aimed at are 70 %.\n\n${table(['pair', 'units', 'both named', 'at least one'], lines)}`;
}

function healthyText({ healthy }: Score): string {
  const tally = tallyHealthy(healthy, normalDays + faultDays);
  const said = tally.said.map((line) => `- ${line}`).join('\n');
  return `${tally.units} units, ${tally.unitMonths.toFixed(1)} unit-months: ${tally.aboveWatch} diagnoses above \`watch\`, ${tally.watch} at \`watch\`. Aimed at is at most one above \`watch\` in 20 unit-months.${said ? `\n\n${said}` : ''}`;
}

function confusionTable(rows: readonly FaultRow[]): string {
  const lines = confusionsOf(rows).slice(0, 40);
  if (lines.length === 0) return 'Nothing was taken for something else.';
  return table(
    ['fault', 'said first', 'slight', 'medium', 'heavy'],
    lines.map(({ fault, said, severities: own }) => [fault, said, own.slight, own.medium, own.heavy]),
  );
}

const severityTable = (): string =>
  table(
    ['fault', severities.join(', '), 'from'],
    faultLevels.map(({ name, inWords, source }) => [name, inWords, source]),
  );

const whatCannotBeTold = `## What cannot be told

- Too much oil (oil logging): nothing that is sent moves by it alone.
- A clock that is off by the same time for all that a unit sends: only its arrival shows it. Clocks of circuits and water that are apart, but no farther from day to day, cannot be told from a lag; a drift is found once it has grown to about a minute.
- Liquid or discharge sensors swapped between two circuits that always run together and do the same: they read the same, and nothing is wrong by it. Suction transducers are told by the valves that move them.
- A shut valve that leaks by, where stops are short or the condenser's side is hardly warmer than the chilled water: its pressures meet anyway.
- Two parallel valves that open unlike, where only one counted position is sent, look like one valve with an offset: that the registry says there are two is what makes the difference.
- A restricted liquid line and a valve that opens less than it says differ only in how the extra opening grows with load: with little change of load they look alike.
- Without water flow and power, low flow and fouling of an exchanger can only be told apart by the water's own change of temperature.`;
