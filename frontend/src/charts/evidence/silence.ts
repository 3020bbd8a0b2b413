import { formatDuration, formatInstant } from '../../quantities/format-quantity.js';
import { clock, clocks, timeAxis, type EvidenceOf, type Picture, type Reader } from './picture.js';

/** Silence: the quarters of an hour of two days in which readings came, a row for each circuit. */
export function silencePicture(data: EvidenceOf<'silence'>, reader: Reader): Picture {
  const last_s = Math.max(-Infinity, ...data.circuits.flatMap(({ time_s }) => time_s)) + data.width_s;
  const heard = Number.isFinite(last_s);
  const silent = heard
    ? formatDuration(Math.max(0, data.to_s - last_s))
    : formatDuration(data.to_s - data.from_s);
  return {
    x: timeAxis,
    panels: data.circuits.map(({ circuit, time_s }) => ({
      title: `Circuit ${circuit}`,
      unit: '',
      weight: 1,
      marks: [
        {
          name: `Readings of circuit ${circuit}`,
          shape: 'bars' as const,
          tone: 1 as const,
          x: clocks(
            time_s.map((time) => time + data.width_s / 2),
            reader,
          ),
          y: time_s.map(() => 1),
          width: data.width_s * 1000,
        },
      ],
      levels: [],
      include: [0, 1],
    })),
    spans: heard ? [{ from: clock(last_s, reader), to: clock(data.to_s, reader) }] : [],
    lines: [
      { at: clock(data.from_s, reader), words: '' },
      { at: clock(data.to_s, reader), words: 'now' },
    ],
    beside: ['silent for', silent],
    says: heard
      ? `No readings for ${silent}; the last came before ${formatInstant(last_s, reader.zone)}.`
      : `No readings in the last ${silent}.`,
    caption: 'Two days; a bar for each quarter of an hour with readings. Shaded: no readings.',
  };
}
