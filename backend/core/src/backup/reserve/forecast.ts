import { quantity, statement, type Statement } from '../../diagnosis/index.js';
import { quantileSorted } from '../../numerics/index.js';
import type { AgeingKind, LikeModules, Trend } from '../ageing/index.js';
import type { BackupSettings } from '../settings.js';

/** A value with its P10 and P90. */
export interface Range {
  p10: number;
  p50: number;
  p90: number;
}

export type RefusalReason =
  | 'too-few-tests'
  | 'too-short-a-time'
  | 'slope-not-distinguishable'
  | 'changed-suddenly'
  | 'no-temperature'
  | 'beyond-horizon';

/** Date at which the reserve falls under a limit, s since the epoch. */
export interface LimitDate {
  limit: number;
  state: 'forecast' | 'already-under' | 'beyond-horizon';
  /** `null` unless forecast. A bound beyond the horizon is given as the horizon, and said in `openEnded`. */
  date_s: Range | null;
  /** True where P90 lies beyond the horizon. */
  openEnded: boolean;
}

export type ReserveForecast =
  | {
      state: 'forecast';
      /** Loss of capacitance, and so of stored energy, in a year at the temperatures seen, as a fraction of the present one. */
      lossPerYear: Range;
      /** Under 1.5 and under 1.0 (settings). */
      limits: LimitDate[];
      horizon_s: number;
      basedOn: Statement[];
    }
  | { state: 'refused'; reason: RefusalReason; sentence: Statement };

const day_s = 86400;
/** If fewer draws than this fraction show a fall, it is not distinguished from none. */
const certainlyFalling = 0.975;
/** No forecast reaches further ahead than so many times the span of the tests. */
const farthest = 5;
export const fewestForecastTests = 8;
export const shortestForecast_d = 45;

const range = (sorted: Float64Array): Range => ({
  p10: quantileSorted(sorted, 0.1),
  p50: quantileSorted(sorted, 0.5),
  p90: quantileSorted(sorted, 0.9),
});

/** The tests that a forecast is made of. */
export interface ForecastTests {
  tests: number;
  /** Since the last sudden change. */
  span_s: number;
  /** Since the first test. */
  seen_s: number;
  afterStep: boolean;
  temperaturesKnown: number;
  allTests: number;
  now_s: number;
  /** Modules of the same rating whose way of ageing the trend was told. */
  like?: LikeModules | null;
}

/** The dates under each limit from the draws of a trend, or why there are none. */
export function forecastFrom(
  trend: Trend | null,
  tests: ForecastTests,
  settings: BackupSettings,
): ReserveForecast {
  const { now_s } = tests;
  if (tests.temperaturesKnown < 0.5 * tests.allTests)
    return refused(
      'no-temperature',
      statement('No forecast: only {known} of {tests} tests came with a module temperature.', {
        known: quantity('count', tests.temperaturesKnown),
        tests: quantity('count', tests.allTests),
      }),
    );
  const few = tests.tests < fewestForecastTests || !trend;
  if (few || tests.span_s < shortestForecast_d * day_s) return tooFewTests(tests, few);
  if (1 - trend.notFalling < certainlyFalling)
    return refused(
      'slope-not-distinguishable',
      statement('No date: over {span} the reserve has not fallen by more than the tests scatter.', {
        span: quantity('duration', tests.span_s),
      }),
    );

  const horizon_s = Math.min(settings.horizon_d * day_s, farthest * tests.seen_s);
  const limits = [settings.fadingReserve, settings.unableReserve].map((limit, i) =>
    limitDate(limit, range(trend.timeUntil_s[i]!), now_s, horizon_s),
  );
  if (limits.every((limit) => limit.state === 'beyond-horizon'))
    return refused(
      'beyond-horizon',
      statement(
        'No date: the reserve falls so slowly that it stays above its limits for longer than {horizon}.',
        { horizon: quantity('duration', horizon_s) },
      ),
    );
  return {
    state: 'forecast',
    lossPerYear: range(trend.lossPerYear),
    limits,
    horizon_s: now_s + horizon_s,
    basedOn: groundsOf(trend, tests, settings),
  };
}

const refused = (reason: RefusalReason, sentence: Statement): ReserveForecast => ({
  state: 'refused',
  reason,
  sentence,
});

/** `few`: too few by their number; otherwise they span too short a time. */
function tooFewTests({ tests, span_s, afterStep }: ForecastTests, few: boolean): ReserveForecast {
  const seen = { tests: quantity('count', tests), span: quantity('duration', span_s) };
  if (afterStep)
    return refused(
      'changed-suddenly',
      statement(
        'No forecast: the module changed suddenly, and the tests since then ({tests} over {span}) are too few.',
        seen,
      ),
    );
  return refused(
    few ? 'too-few-tests' : 'too-short-a-time',
    statement('No forecast: the tests so far ({tests} over {span}) are too few.', seen),
  );
}

/** What a forecast is based on and what it assumes. */
const groundsOf = (
  trend: Trend,
  { tests, span_s, like }: ForecastTests,
  settings: BackupSettings,
): Statement[] => [
  statement('Based on {tests} tests over {span}, by age weighted for temperature.', {
    tests: quantity('count', tests),
    span: quantity('duration', span_s),
  }),
  ...likeSentence(like ?? null),
  ...paceSentence(trend),
  statement(
    'Life is assumed to double for every {doubling} lower: common practice, not measured on this module.',
    { doubling: quantity('temperature-difference', settings.lifeDoubling_K) },
  ),
];

const wayOf: Record<AgeingKind, string> = {
  'constant-fraction': 'fade by a constant fraction of what is left',
  slowing: 'fade more slowly with age',
  straight: 'fade in a straight line',
  quickening: 'fade faster with age',
  'root-of-age': 'fade with the square root of age',
  'change-of-pace': 'fade in a straight line that changes its slope once',
  'change-of-fraction': 'fade by a constant fraction of what is left that changes once',
};

/** The way that is likeliest among its like. */
function likeSentence(like: LikeModules | null): Statement[] {
  if (!like) return [];
  const [way, share] = Object.entries(like.belief).reduce((most, each) => (each[1] > most[1] ? each : most));
  return [
    statement(
      `Its like, {modules} modules of the same rating, ${wayOf[way as AgeingKind]} ({share} likely).`,
      {
        modules: quantity('count', like.modules),
        share: quantity('share', share),
      },
    ),
  ];
}

function paceSentence({ paceChange }: Trend): Statement[] {
  if (!paceChange) return [];
  const since = { at: quantity('instant', paceChange.at_s) };
  return [
    paceChange.faster
      ? statement('It has aged faster since about {at}.', since)
      : statement('It has aged more slowly since about {at}.', since),
  ];
}

function limitDate(limit: number, until: Range, now_s: number, horizon_s: number): LimitDate {
  if (until.p50 <= 0) return { limit, state: 'already-under', date_s: null, openEnded: false };
  if (!(until.p50 <= horizon_s)) return { limit, state: 'beyond-horizon', date_s: null, openEnded: true };
  const openEnded = !(until.p90 <= horizon_s);
  return {
    limit,
    state: 'forecast',
    date_s: {
      p10: now_s + until.p10,
      p50: now_s + until.p50,
      p90: now_s + Math.min(until.p90, horizon_s),
    },
    openEnded,
  };
}
