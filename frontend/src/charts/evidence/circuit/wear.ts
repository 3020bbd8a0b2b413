import { formatDay, roundCount } from '../../../quantities/format-quantity.js';
import {
  claimed,
  clocks,
  known,
  middle,
  timeAxis,
  type Claim,
  type EvidenceOf,
  type Picture,
  type Reader,
} from '../picture.js';

/** Valve wear: reversals and full strokes of each day, and those a day of the week that the finding names. */
export function wearPicture(data: EvidenceOf<'wear'>, reader: Reader, claim: Claim): Picture {
  const x = clocks(data.day_s, reader);
  const bars = (name: string, tone: 1 | 2, y: readonly (number | null)[]) => ({
    name,
    shape: 'bars' as const,
    tone,
    x,
    y: [...y],
    width: 86_400_000,
  });
  const named = { reversals: claimed(claim, 'reversals'), strokes: claimed(claim, 'travel') };
  const reversals = roundCount(named.reversals ?? middle(data.reversals));
  const strokes = roundCount(named.strokes ?? middle(data.travel_strokes));
  const level = (value: number | null) => (value === null ? [] : [{ value, words: 'last week' }]);
  const from = data.day_s[0] === undefined ? '' : formatDay(data.day_s[0], reader.zone);
  return {
    x: timeAxis,
    panels: [
      {
        title: 'Reversals a day',
        unit: '',
        weight: 1,
        marks: [bars('Reversals a day', 1, data.reversals)],
        levels: level(named.reversals),
        include: [0],
      },
      {
        title: 'Full strokes a day',
        unit: '',
        weight: 1,
        marks: [bars('Full strokes a day', 2, data.travel_strokes)],
        levels: level(named.strokes),
        include: [0],
      },
    ],
    spans: [],
    lines: [],
    beside: [`${reversals} reversals`, 'a day'],
    says: `The valve of circuit ${data.circuit} reverses ${reversals} times and travels ${strokes} full strokes a day${named.reversals === null ? `, on the median of ${known(data.reversals).length} days` : ''}.`,
    caption: `Circuit ${data.circuit}, days since ${from} with six hours of readings or more, scaled to 24 h.`,
  };
}
