import { decimals, formatDuration, formatInstant } from '../../quantities/format-quantity.js';
import { clock, clocks, percent, timeAxis, type EvidenceOf, type Picture, type Reader } from './picture.js';
import { capitalised } from '../../quantities/capitalised.js';

type Silence = EvidenceOf<'silence'>;

/**
 * Silence: how much came in the quarters of an hour of two days, a row for each circuit; shaded since nothing comes of
 * what the finding is on.
 */
export function silencePicture(data: Silence, reader: Reader): Picture {
  const { of, circuits, width_s, from_s, to_s } = data;
  const meant = circuits.filter(({ circuit }) => of.circuit === null || circuit === of.circuit);
  const last_s = Math.max(-Infinity, ...meant.flatMap(({ time_s }) => time_s)) + width_s;
  const heard = Number.isFinite(last_s);
  const silent_s = Math.max(0, to_s - (heard ? last_s : from_s));
  const comes = heard && silent_s < 2 * width_s;
  const share = comes ? shareOf(data, meant) : 0;
  const what = of.signal === null ? 'readings' : `values of ${of.signal.replace('-', ' ')}`;
  const whose = of.circuit === null ? '' : ` of circuit ${of.circuit}`;
  return {
    x: timeAxis,
    panels: circuits.map((row) => panelOf(row, what, data, reader)),
    spans: heard && !comes ? [{ from: clock(last_s, reader), to: clock(to_s, reader) }] : [],
    lines: [
      { at: clock(from_s, reader), words: '' },
      { at: clock(to_s, reader), words: 'now' },
    ],
    beside: comes ? ['came', percent(share)] : ['silent for', formatDuration(silent_s)],
    says: comes
      ? `About ${decimals(share * 100, 0)} % of the ${what}${whose} came in the last two days, against the fullest quarter of an hour.`
      : heard
        ? `No ${what}${whose} for ${formatDuration(silent_s)}; the last came before ${formatInstant(last_s, reader.zone)}.`
        : `No ${what}${whose} in the last ${formatDuration(silent_s)}.`,
    caption: `Two days; a bar for each quarter of an hour, as high as the part of the ${what} that came. ${
      comes ? '' : 'Shaded: nothing came.'
    }`.trim(),
  };
}

/** Mean over the whole time that is shown, of the circuits that are meant. */
function shareOf({ from_s, to_s, width_s }: Silence, meant: Silence['circuits']): number {
  const bins = (meant.length * (to_s - from_s)) / width_s;
  return meant.flatMap(({ share }) => share).reduce((sum, each) => sum + each, 0) / bins;
}

function panelOf(
  { circuit, time_s, share }: Silence['circuits'][number],
  what: string,
  { width_s }: Silence,
  reader: Reader,
): Picture['panels'][number] {
  return {
    title: `Circuit ${circuit}`,
    unit: '',
    weight: 1,
    marks: [
      {
        name: `${capitalised(what)} of circuit ${circuit}`,
        shape: 'bars' as const,
        tone: 1 as const,
        x: clocks(
          time_s.map((time) => time + width_s / 2),
          reader,
        ),
        y: share,
        width: width_s * 1000,
      },
    ],
    levels: [],
    include: [0, 1],
  };
}
