import { formatInstant } from '../../../quantities/format-quantity.js';
import { claimed, claimedWords, type Claim, type EvidenceOf, type Picture, type Reader } from '../picture.js';

/** Swapped sensors of two circuits that run alike: which of the two readings follows one valve, over the time after its steps. */
export function valveAnswersPicture(
  { sensor, circuit, other, from_s, to_s, windows, lag_s, ofOwn, ofOther }: EvidenceOf<'valve-answers'>,
  reader: Reader,
  claim: Claim,
): Picture {
  const name = sensor.replace('-', ' ');
  const words = (of: string) => claimedWords(claim, of, reader) ?? '';
  const lag = claimed(claim, 'lag');
  return {
    x: { kind: 'number', title: `Time after a step of the valve of circuit ${circuit}`, unit: 's' },
    panels: [
      {
        title: `Correlation of the step with the change of ${name}`,
        unit: '',
        weight: 1,
        marks: [
          {
            name: `Registered on circuit ${other}`,
            shape: 'line',
            tone: 4,
            strong: true,
            x: lag_s,
            y: ofOther,
          },
          { name: `Registered on circuit ${circuit}`, shape: 'line', tone: 1, x: lag_s, y: ofOwn },
        ],
        levels: [{ value: 0, words: 'no answer' }],
        include: [0],
        least: 0.2,
      },
    ],
    spans: [],
    lines: lag === null ? [] : [{ at: lag, words: words('lag') }],
    beside: [`${other}: ${words('other')}`, `${circuit}: ${words('own')}`],
    says: `The ${name} registered on circuit ${other} follows the valve of circuit ${circuit} (correlation ${words('other')} after ${words('lag')}), and the one registered on circuit ${circuit} does not (${words('own')}).`,
    caption: `${windows} windows of two hours in which all circuits run, from ${formatInstant(from_s, reader.zone)} to ${formatInstant(to_s, reader.zone)}.`,
  };
}
