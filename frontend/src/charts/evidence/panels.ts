import { converted, linesOver, shownIn, unitOf, type Picture, type Reader } from './picture.js';

type Panel = Picture['panels'][number];

/** Superheat over time, in K, with the floodback limit. */
export const superheatPanel = (
  x: Parameters<typeof linesOver>[0],
  superheat_K: Parameters<typeof converted>[0],
  floodbackLimit_K: number,
  gap: number,
  reader: Reader,
): Panel => ({
  title: 'Superheat',
  unit: unitOf('temperature-difference', reader),
  weight: 2,
  marks: linesOver(
    x,
    [{ name: 'Superheat', tone: 1, y: converted(superheat_K, 'temperature-difference', reader) }],
    gap,
  ),
  levels: [{ value: shownIn(floodbackLimit_K, 'temperature-difference', reader), words: 'floodback limit' }],
});

/** The valve's opening over time, %. */
export const openingPanel = (
  x: Parameters<typeof linesOver>[0],
  valveOpening_pct: readonly (number | null)[],
  gap: number,
): Panel => ({
  title: 'Valve opening',
  unit: '%',
  weight: 1,
  marks: linesOver(x, [{ name: 'Valve opening', tone: 2, y: [...valveOpening_pct] }], gap),
  levels: [],
});
