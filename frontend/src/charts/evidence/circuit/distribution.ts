import { formatDuration, show } from '../../../quantities/format-quantity.js';
import { percent, shownIn, unitOf, type EvidenceOf, type Picture, type Reader } from '../picture.js';

/** Floodback or starved: how superheat was distributed over steady running, with its limit and the share beyond it. */
export function distributionPicture(data: EvidenceOf<'distribution'>, reader: Reader): Picture {
  const kind = 'temperature-difference';
  const used = [...data.share.keys()].filter((index) => data.share[index] > 0);
  const [first, last] = [used[0] ?? 0, used.at(-1) ?? 0];
  const bins = Array.from({ length: last - first + 1 }, (_, index) => first + index);
  const share = percent(data.beyondFraction);
  const limit = show(data.limit_K, kind, reader.system);
  const steady = formatDuration(data.steady_s);
  return {
    x: { kind: 'number', title: 'Superheat', unit: unitOf(kind, reader) },
    panels: [
      {
        title: 'Share of steady running',
        unit: '%',
        weight: 1,
        marks: [
          {
            name: 'Share of steady running',
            shape: 'bars',
            tone: 1,
            x: bins.map((bin) => shownIn(data.from_K[bin] + data.binWidth_K / 2, kind, reader)),
            y: bins.map((bin) => data.share[bin] * 100),
            width: shownIn(data.binWidth_K, kind, reader) - shownIn(0, kind, reader),
            beyond: bins.map((bin) => {
              const centre_K = data.from_K[bin] + data.binWidth_K / 2;
              return data.side === 'under' ? centre_K < data.limit_K : centre_K > data.limit_K;
            }),
          },
        ],
        levels: [],
        include: [0],
      },
    ],
    spans: [],
    lines: [{ at: shownIn(data.limit_K, kind, reader), words: limit }],
    beside: [`${share} of time`, `${data.side} ${limit}`],
    says: `Superheat of circuit ${data.circuit} was ${data.side} ${limit} for ${share} of ${steady} of steady running.`,
    caption: `Circuit ${data.circuit}, ${steady} of steady running in a week; standstill, starts and changes of load are left out.`,
  };
}
