import { count, formatDay } from '../../../quantities/format-quantity.js';
import {
  clocks,
  known,
  middle,
  percent,
  timeAxis,
  type EvidenceOf,
  type Picture,
  type Reader,
} from '../picture.js';

/** Pressures that meet fast: what is left of their difference ten minutes after each stop, then and now. */
export function stopsPicture(data: EvidenceOf<'stops'>, reader: Reader): Picture {
  const dots = (name: string, tone: 1 | 'limit', { time_s, left }: typeof data.usual) => ({
    name,
    tone,
    shape: 'dots' as const,
    x: clocks(time_s, reader),
    y: left.map((value) => value && value * 100),
  });
  const usual = percent(data.usualLeft);
  const now = percent(Math.max(0, middle(data.since.left)));
  const from =
    data.usual.time_s[0] === undefined ? '' : `, from ${formatDay(data.usual.time_s[0], reader.zone)}`;
  const below = [...data.usual.left, ...data.since.left].some((left) => left !== null && left < 0)
    ? ' Under 0 % the two transducers differ from each other.'
    : '';
  return {
    x: timeAxis,
    panels: [
      {
        title: 'Difference of the pressures left after 10 min',
        unit: '%',
        weight: 1,
        marks: [dots('While normal was learned', 1, data.usual), dots('Since', 'limit', data.since)],
        levels: [{ value: data.usualLeft * 100, words: 'usual' }],
        include: [0],
      },
    ],
    spans: [],
    lines: [],
    beside: [`${now} left`, `${usual} usual`],
    says: `Ten minutes after a stop of circuit ${data.circuit}, ${now} of the difference of its pressures is left on the median of ${count(known(data.since.left).length, 'stop')}; ${usual} was usual.`,
    caption: `Circuit ${data.circuit}, each stop of eleven minutes or more with the valve shut${from}; the difference of the saturation temperatures, against that after one minute.${below}`,
  };
}
