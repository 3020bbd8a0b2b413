import { runningSamples } from '../../modes/running.js';
import { saturationCurve } from '../../refrigerants/index.js';
import type { CircuitSeries } from '../../telemetry/circuit-series.js';
import type { Finding } from '../finding.js';
import { quantity, statement } from '../statement.js';
import { swappedFinding } from '../swapped-finding.js';
import { endOfNewestWindow_s, meansFrom } from './means-of-late.js';

/** A sensor that can be told by which circuit runs: which way the running circuit's reading lies from the standing one's. */
interface Told {
  sensor: string;
  read: (series: CircuitSeries, k: number, dew: (pressure_Pa: number) => number) => number;
  sign: 1 | -1;
  /** Differences under this tell nothing, K. */
  least_K: number;
}

const told: readonly Told[] = [
  { sensor: 'discharge-temperature', read: (s, k) => s.dischargeTemperature_K[k], sign: 1, least_K: 8 },
  {
    sensor: 'discharge-pressure',
    read: (s, k, dew) => dew(s.dischargePressure_Pa[k]),
    sign: 1,
    least_K: 3,
  },
  {
    sensor: 'suction-pressure',
    read: (s, k, dew) => dew(s.suctionPressure_Pa[k]),
    sign: -1,
    least_K: 3,
  },
];

/** A circuit's readings have settled so long after either changed, s. */
const settled_s = 900;
/** Time with one circuit running and the other standing that is needed, in separate stretches, s. */
const leastTime_s = 3600;
const leastStretches = 3;
/** Share of the telling time that must point to a swap, for one sensor while another sensor says the contrary. */
const swappedFraction = 0.9;

/**
 * Sensors of one kind that are swapped between two circuits: while only one of them runs, the hot gas, the high or the low
 * pressure is read on the one that stands. Said only where another sensor, by the same test, is where it should be, or the
 * loads themselves may be swapped. Two circuits that always run together tell nothing.
 * @throws UnknownRefrigerantError.
 */
export function swappedBetweenCircuits(
  series: readonly CircuitSeries[],
  circuits: readonly { number: number }[],
  refrigerant: string,
): Finding[] {
  const findings: Finding[] = [];
  const dew = saturationCurve(refrigerant, 'dew').temperature;
  const runs = series.map((one) => runningSamples(one, refrigerant));
  for (let a = 0; a < series.length; a++)
    for (let b = a + 1; b < series.length; b++) {
      const votes = told.map((one) => votesOf([series[a], series[b]], [runs[a], runs[b]], one, dew));
      const right = votes.some((vote) => vote.enough && vote.wrong < 1 - swappedFraction);
      votes.forEach((vote, k) => {
        if (!right || !vote.enough || vote.wrong < swappedFraction) return;
        findings.push(findingOf(told[k].sensor, circuits[a].number, circuits[b].number, vote));
      });
    }
  return findings;
}

/** The columns that a swap is told by. */
export const swapColumns = [
  'compressorLoad_pct',
  'valveOpening_pct',
  'suctionPressure_Pa',
  'suctionTemperature_K',
  'dischargePressure_Pa',
  'dischargeTemperature_K',
  'liquidTemperature_K',
] as const;

/** Wiring is changed on a visit: a swap is told by the newest four days, by means of two minutes as they are kept for charts. */
export const swapRecord_s = 4 * 86_400;

/** The means by which a swap is told, of what the circuits of a unit sent: those of the four days before the end of its newest window. */
export function meansOfLate(sent: readonly CircuitSeries[]): CircuitSeries[] {
  const until_s = endOfNewestWindow_s(sent);
  return sent.map((series) => meansFrom(series, until_s - swapRecord_s, swapColumns));
}

interface Votes {
  enough: boolean;
  /** Share of the telling time in which the reading lies on the wrong circuit. */
  wrong: number;
  time_s: number;
  from_s: number;
  to_s: number;
}

function votesOf(
  [first, second]: readonly [CircuitSeries, CircuitSeries],
  runs: readonly [Uint8Array, Uint8Array],
  { read, sign, least_K }: Told,
  dew: (pressure_Pa: number) => number,
): Votes {
  const votes = { wrong: 0, time: 0, stretches: 0, from_s: NaN, to_s: NaN };
  let [changed_s, telling, j] = [-Infinity, false, 0];
  for (let i = 1; i < first.time_s.length; i++) {
    const now = first.time_s[i];
    while (j + 1 < second.time_s.length && second.time_s[j + 1] <= now) j++;
    const step = Math.min(120, now - first.time_s[i - 1]);
    const [one, other] = [runs[0][i], runs[1][j]];
    if (
      one !== runs[0][i - 1] ||
      (j > 0 && other !== runs[1][j - 1] && second.time_s[j] > first.time_s[i - 1])
    )
      changed_s = now;
    const apart = one + other === 1 && Math.abs(second.time_s[j] - now) < 120;
    const tells = apart && now - changed_s >= settled_s;
    const difference = tells ? read(first, i, dew) - read(second, j, dew) : NaN;
    if (!(Math.abs(difference) >= least_K)) {
      telling = false;
      continue;
    }
    if (!telling) votes.stretches++;
    telling = true;
    if (Number.isNaN(votes.from_s)) votes.from_s = now;
    votes.to_s = now;
    votes.time += step;
    if (Math.sign(difference) !== (one === 1 ? sign : -sign)) votes.wrong += step;
  }
  return {
    enough: votes.time >= leastTime_s && votes.stretches >= leastStretches,
    wrong: votes.time === 0 ? 0 : votes.wrong / votes.time,
    time_s: votes.time,
    from_s: votes.from_s,
    to_s: votes.to_s,
  };
}

const findingOf = (sensor: string, circuit: number, swappedWith: number, vote: Votes): Finding =>
  swappedFinding({
    ...{ sensor, circuit, swappedWith },
    shows: 'while only one circuit runs, the other one’s sensor shows it',
    because: statement('Seen in {share} of {time} in which only one of the two ran.', {
      share: quantity('share', vote.wrong),
      time: quantity('duration', vote.time_s),
    }),
    seen: vote,
  });
