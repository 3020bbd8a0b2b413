import { quantity, statement, type Finding, type Statement, type Urgency } from '../../diagnosis/index.js';
import {
  bringModule,
  closeAfterwards,
  dischargeFirst,
  moduleFinding,
  type FindingContext,
} from './finding-parts.js';
import { type LimitDate, caseUncertainty, type ReserveCase } from '../reserve/index.js';
import type { BackupSettings } from '../settings.js';

const day_s = 86400;
const month_s = 30 * day_s;

/** The module cannot shut its valve, now or on a cold day, or will not be able to before long. */
export function reserveFindings({
  module,
  assessment,
  settings,
  now_s,
  closings,
}: FindingContext): Finding[] {
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
    visit: [bringModule(module), dischargeFirst, closeAfterwards],
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
          { reserve: quantity('ratio', cold.reserve, caseUncertainty(cold)) },
        ),
        reasons: [energies, ...reserve.basedOn],
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
  if (!alreadyUnder && !isNear(fading, now_s, settings)) return [];

  const unable = forecast.state === 'forecast' ? forecast.limits[1]! : null;
  const unableSoon = unable?.date_s && unable.date_s.p10 - now_s < 2 * month_s;
  const soon = fading?.date_s && fading.date_s.p10 - now_s < 4 * month_s;
  const urgency: Urgency = unableSoon ? 'this-week' : alreadyUnder || soon ? 'next-visit' : 'watch';
  return [
    moduleFinding(module, {
      condition: 'reserve-fading',
      headline: fadingHeadline(cold, settings, alreadyUnder ? unable : fading, alreadyUnder),
      reasons: [
        energies,
        ...(forecast.state === 'forecast'
          ? [lossSentence(forecast.lossPerYear.p10, forecast.lossPerYear.p90), ...forecast.basedOn]
          : [forecast.sentence]),
        ...reserve.basedOn,
      ],
      explanations: [],
      certainty: alreadyUnder && cold.interval.p90 < settings.fadingReserve ? 'certain' : 'likely',
      urgency,
      score: urgency === 'this-week' ? 60 : alreadyUnder ? 40 : soon ? 25 : 12,
      waiting: statement(
        'No harm yet, but in time the valve will no longer shut at a power loss on a cold day.',
      ),
      ...shared,
      firstSeen_s: under(settings.fadingReserve) ?? closings[closings.length - 1]?.startedAt_s ?? now_s,
    }),
  ];
}

/** The median date lies within the time of warning, and P90 within twice that. */
const isNear = (date: LimitDate | null, now_s: number, { warnAhead_d }: BackupSettings) =>
  !!date?.date_s &&
  !date.openEnded &&
  date.date_s.p50 - now_s <= warnAhead_d * day_s &&
  date.date_s.p90 - now_s <= 2 * warnAhead_d * day_s;

const lossSentence = (low: number, high: number) =>
  statement('It loses between {low} and {high} of its stored energy a year at the temperatures seen.', {
    low: quantity('share', Math.max(0, low)),
    high: quantity('share', high),
  });

function fadingHeadline(
  cold: ReserveCase,
  settings: BackupSettings,
  date: LimitDate | null,
  already: boolean,
): Statement {
  const now = { reserve: quantity('ratio', cold.reserve, caseUncertainty(cold)) };
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
