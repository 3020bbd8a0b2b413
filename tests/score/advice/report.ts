import type { Followed, Trouble } from './follow-advice.js';

export interface AdviceScore {
  seed: number;
  days: number;
  rows: { trouble: Trouble; results: Followed[] }[];
}

/** A loop settles well when it takes at most this many times what the best tuning takes. */
export const settlesWithin = 2;

export interface AdviceTally {
  cases: number;
  troubled: number;
  named: number;
  advised: number;
  ended: number;
  settled: number;
  measured: number;
  /** Median of the time to settle over that of the best tuning. */
  ratio: number | null;
}

/** Counts of a trouble; those after `troubled` are of the circuits in which the trouble was there. */
export function tallyOf(results: readonly Followed[]): AdviceTally {
  const troubled = results.filter((one) => one.troubled);
  const ratios = troubled
    .flatMap(({ settling }) => (settling === null ? [] : [settling.advised_s / settling.best_s]))
    .sort((a, b) => a - b);
  const count = (has: (one: Followed) => boolean) => troubled.filter(has).length;
  return {
    cases: results.length,
    troubled: troubled.length,
    named: count(({ named }) => named),
    advised: count(({ advised }) => advised),
    ended: count(({ ended }) => ended),
    settled: ratios.filter((ratio) => ratio <= settlesWithin).length,
    measured: ratios.length,
    ratio: ratios.length === 0 ? null : ratios[ratios.length >> 1],
  };
}

const rowOf = (cells: readonly (string | number)[]) => `| ${cells.join(' | ')} |`;

/** The page of a run, in Markdown. */
export function adviceReport({ seed, days, rows }: AdviceScore, date: string): string {
  const lines = rows.map(({ trouble, results }) => {
    const t = tallyOf(results);
    return rowOf([
      trouble,
      t.cases,
      t.troubled,
      t.named,
      t.advised,
      t.ended,
      t.advised === 0 ? '-' : `${Math.round((100 * t.ended) / t.advised)} %`,
    ]);
  });
  const settling = rows.flatMap(({ trouble, results }) => {
    const t = tallyOf(results);
    return t.measured === 0
      ? []
      : [
          `Load steps (45 to 60 % and back, 75 to 95 % and back) with the advised tuning of a loop (${trouble}): settled within ${settlesWithin} times the time of the best tuning in ${t.settled} of ${t.measured} circuits, median ratio ${t.ratio!.toFixed(1)}. Settled means within 0.5 K of the setpoint for good; the best tuning is searched over gain and integral time of the same simulated loop.`,
        ];
  });
  const left = rows.flatMap(({ trouble, results }) =>
    results
      .filter(({ advised, ended, troubled }) => troubled && advised && !ended)
      .map(
        ({ unit, severity, left: found }) => `- ${trouble}, ${severity}, ${unit.name}: ${found.join(', ')}.`,
      ),
  );
  return [
    '# Whether advice ends the trouble',
    '',
    `Measured on ${date} by \`npm run score -- advice\`, seed ${seed}. Each case is a simulated circuit with a trouble, ${days} days of it. What is advised is done in the simulator, and ${days} days are judged again. Ended: neither hunting, floodback, a starved evaporator nor a valve at its limit is found. A setpoint was the right one for ${days} days before. A simulated circuit is tidier than a real one: take these numbers as what is possible.`,
    '',
    rowOf(['trouble', 'circuits', 'trouble found', 'cause named', 'advised', 'ended', 'ended, of advised']),
    rowOf(['---', '---', '---', '---', '---', '---', '---']),
    ...lines,
    rowOf(['aimed at', '', '', '', '', '', '90 %']),
    '',
    ...settling,
    ...(left.length === 0 ? [] : ['', 'Still found after the advice was followed:', '', ...left]),
    '',
  ].join('\n');
}
