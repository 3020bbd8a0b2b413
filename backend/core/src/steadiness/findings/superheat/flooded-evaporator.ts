import { median, quantileSorted } from '../../../numerics/index.js';
import type { Explanation, Urgency } from '../../../diagnosis/finding.js';
import { statement, type Statement } from '../../../diagnosis/statement.js';
import { dischargeAtEfficiency, dischargeEvidence } from './discharge-evidence.js';
import { fraction, K, minutes, type Draft, type FindingContext } from '../finding-parts.js';
import type { WindowJudgement } from '../../windows/window-judgement.js';

/** Judgement, no source. */
const limits = {
  /** History and present time that a comparison needs, minutes. */
  earlierMinutes: 600,
  weekMinutes: 240,
  /** Windows at loads this close are compared, %, and with condensing as far over evaporating but for this, K. */
  likeLoad_pct: 15,
  likeLift_K: 5,
  /** Of the machine's own efficiencies in like windows, this quantile: only what it passed hardly ever is new. */
  highEfficiency: 0.95,
  /** So far under its own history the discharge counts as cold, K: several times what sensors and load leave open. */
  cold_K: 5,
  coldFraction: 0.2,
};

interface Compared {
  window: WindowJudgement;
  /** Discharge temperature that the machine's history leads to expect, less the measured one, K. */
  missing_K: number;
  /** The discharge is colder than a lossless compressor would make it of dry vapour. */
  impossibleDry: boolean;
}

/**
 * Liquid in the suction of a machine with a flooded or falling-film evaporator. Its vapour leaves about saturated by
 * design, so that suction superheat says nothing of floodback. Liquid that is carried along evaporates in the
 * compressor and takes heat from the discharge: its temperature is compared with what the machine's own earlier
 * isentropic efficiency gives at the same pressures, at like load and lift: with the highest that it then had, but for a
 * twentieth, because a compressor's efficiency changes with what is not measured. Without that history nothing is said.
 */
export function floodedFloodback(context: FindingContext): Draft | null {
  if (!context.dischargeSuperheatKnown) return null;
  const compared = compareWithHistory(context);
  const time = compared.reduce((sum, { window }) => sum + window.superheat!.minutes, 0);
  if (time < limits.weekMinutes) return null;
  const cold = compared.filter(({ missing_K }) => missing_K >= limits.cold_K);
  const coldTime = cold.reduce((sum, { window }) => sum + window.superheat!.minutes, 0);
  if (coldTime < limits.coldFraction * time) return null;
  const impossible = cold.filter(({ impossibleDry }) => impossibleDry).length > cold.length / 2;
  const seen = cold.map(({ window }) => window);
  const last_s = context.week[context.week.length - 1].to_s;
  const lately = seen.some((window) => window.to_s > last_s - 86_400);
  const urgency: Urgency = impossible ? (lately ? 'today' : 'this-week') : 'next-visit';
  const colder = statement(
    'Discharge is {missing} colder than it used to be on this machine at these pressures and loads, in {share} of the time compared.',
    {
      missing: K(median(cold.map(({ missing_K }) => missing_K))),
      share: fraction(coldTime / time),
    },
  );
  const dry = impossible
    ? statement(
        'It is colder than a lossless compressor makes it of dry vapour: liquid evaporates in the compressor.',
      )
    : statement('It is still as hot as a good compressor makes it of dry vapour.');
  return {
    condition: 'floodback-risk',
    headline: impossible
      ? statement(
          'The discharge has become too cold for dry vapour, by {missing}: liquid reaches the compressor.',
          {
            missing: K(median(cold.map(({ missing_K }) => missing_K))),
          },
        )
      : statement(
          'The discharge has become {missing} colder at the same pressures and loads: liquid may reach the compressor.',
          {
            missing: K(median(cold.map(({ missing_K }) => missing_K))),
          },
        ),
    reasons: [
      colder,
      dry,
      statement(
        'Suction superheat is not used: vapour leaves this kind of evaporator about saturated by design.',
      ),
      statement('Based on {time} of steady running against {earlier} before.', {
        time: minutes(time),
        earlier: minutes(earlierMinutes(context)),
      }),
    ],
    explanations: explanationsOf(impossible, colder, dry),
    separatingCheck: statement(
      'Compare the discharge temperature with a thermometer on the pipe, and read the liquid level of the evaporator through the sight glass.',
    ),
    certainty: impossible ? 'likely' : 'possible',
    urgency,
    score: impossible ? 80 : 25,
    waiting: statement('Liquid in the suction washes out oil and can break the compressor.'),
    visit: [
      statement(
        'Check the liquid level control of the evaporator, the charge and the discharge sensor; take a reference thermometer.',
      ),
    ],
    hazards: ['rotating-parts'],
    seen,
  };
}

/** Weights are judgement, no source. */
const explanationsOf = (impossible: boolean, colder: Statement, dry: Statement): Explanation[] => [
  {
    cause: 'liquid carried over from the evaporator',
    weight: impossible ? 0.75 : 0.5,
    supports: impossible ? [colder, dry] : [colder],
    contradicts: impossible ? [] : [dry],
  },
  {
    cause: 'a discharge temperature sensor that has come loose or reads low',
    weight: impossible ? 0.15 : 0.3,
    supports: [],
    contradicts: [],
  },
  {
    cause: 'more oil or liquid injected to cool the compressor',
    weight: impossible ? 0.1 : 0.2,
    supports: [],
    contradicts: [],
  },
];

const known = (windows: readonly WindowJudgement[]): WindowJudgement[] =>
  windows.filter((window) => window.superheat !== null && window.superheat.minutes >= 30);

const earlierMinutes = ({ earlier }: FindingContext): number =>
  known(earlier).reduce((sum, window) => sum + window.superheat!.minutes, 0);

const liftOf = ({ conditions }: WindowJudgement): number =>
  (conditions.condensingTemperature_K ?? NaN) - (conditions.evaporatingTemperature_K ?? NaN);

function compareWithHistory({ week, earlier, refrigerant }: FindingContext): Compared[] {
  const history = known(earlier).flatMap((window) => {
    const evidence = dischargeEvidence(window, refrigerant);
    return evidence && Number.isFinite(evidence.efficiency)
      ? [{ window, efficiency: evidence.efficiency }]
      : [];
  });
  return known(week).flatMap((window) => {
    const evidence = dischargeEvidence(window, refrigerant);
    if (!evidence) return [];
    const load = window.conditions.compressorLoad_pct;
    const alike = history.filter(
      (one) =>
        (load === null ||
          Math.abs((one.window.conditions.compressorLoad_pct ?? NaN) - load) <= limits.likeLoad_pct) &&
        Math.abs(liftOf(one.window) - liftOf(window)) <= limits.likeLift_K,
    );
    const time = alike.reduce((sum, one) => sum + one.window.superheat!.minutes, 0);
    if (time < limits.earlierMinutes) return [];
    const efficiencies = Float64Array.from(alike, (one) => one.efficiency).sort();
    const expected_K = dischargeAtEfficiency(
      window,
      refrigerant,
      quantileSorted(efficiencies, limits.highEfficiency),
    );
    if (expected_K === null) return [];
    return [
      {
        window,
        missing_K: expected_K - evidence.measured_K,
        impossibleDry: evidence.measured_K < evidence.lossless_K - 1,
      },
    ];
  });
}
