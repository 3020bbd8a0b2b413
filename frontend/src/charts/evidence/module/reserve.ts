import { decimals, formatDay } from '../../../quantities/format-quantity.js';
import {
  clock,
  clocks,
  known,
  linesOver,
  timeAxis,
  type EvidenceOf,
  type Picture,
  type Reader,
} from '../picture.js';

/** Closing reserve over the calendar, with its limits and the dates at which it is expected to meet them. */
export function reservePicture(data: EvidenceOf<'reserve'>, reader: Reader): Picture {
  const [first, last] = [known(data.reserve)[0], known(data.reserve).at(-1)];
  const dates = data.limits.map(
    ({ limit, p10_s, p90_s }) =>
      `${decimals(limit, 1)} between ${formatDay(p10_s, reader.zone)} and ${formatDay(p90_s, reader.zone)}`,
  );
  const next = data.limits[0];
  return {
    x: timeAxis,
    panels: [
      {
        title: 'Closing reserve',
        unit: '',
        weight: 1,
        marks: [
          ...linesOver(clocks(data.time_s, reader), [
            { name: 'Closing reserve', tone: 3, y: [...data.reserve] },
          ]),
          ...data.limits.map(({ limit, p10_s, p90_s }) => ({
            name: `Expected at ${decimals(limit, 1)}`,
            shape: 'line' as const,
            tone: 'limit' as const,
            x: clocks([p10_s, p90_s], reader),
            y: [limit, limit],
          })),
        ],
        levels: [{ value: 1, words: 'cannot close below this' }],
        include: [1],
      },
    ],
    spans: [],
    lines: data.suddenAt_s === null ? [] : [{ at: clock(data.suddenAt_s, reader), words: 'sudden drop' }],
    beside: [
      data.now === null ? 'not known' : `${decimals(data.now, 2)} now`,
      next ? `${decimals(next.limit, 1)}: ${formatDay(next.p50_s, reader.zone)}` : '',
    ].filter(Boolean),
    says: `Closing reserve of module ${data.module}: ${first === undefined ? 'not known' : `${decimals(first, 2)} on ${formatDay(data.time_s[0], reader.zone)}, ${decimals(last!, 2)} at the last closing`}${data.now === null ? '' : `, ${decimals(data.now, 2)} now`}${dates.length > 0 ? `; expected to reach ${dates.join('; ')}` : ''}. Under 1.0 it cannot close the valve fully.`,
    caption: `Module ${data.module}, since ${data.time_s[0] === undefined ? 'its first closing' : formatDay(data.time_s[0], reader.zone)}.`,
  };
}
