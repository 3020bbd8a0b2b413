import { extent } from 'd3-array';
import { formatInstant, show } from '../../../quantities/format-quantity.js';
import {
  claimed,
  claimedWords,
  clocks,
  converted,
  known,
  linesOver,
  middle,
  percent,
  shownIn,
  stretches,
  timeAxis,
  unitOf,
  type Claim,
  type EvidenceOf,
  type Mark,
  type Picture,
  type Reader,
} from '../picture.js';
import { capitalised } from '../../../quantities/capitalised.js';

type Data = EvidenceOf<'signal'>;

const gap = 600_000;

/** What a loose sensor follows, and what it should follow. */
const beside = (data: Data, x: number[], reader: Reader): Mark[] =>
  linesOver(
    x,
    [
      { name: 'Ambient', tone: 'quiet', dashed: true, y: converted(data.ambient_K, 'temperature', reader) },
      {
        name: 'Evaporating temperature',
        tone: 2,
        y: converted(data.evaporating_K, 'temperature', reader),
      },
    ],
    gap,
  );

/** What the finding says of the signal: in two or three lines beside the small picture, and as part of a sentence. */
function claimOf(data: Data, reader: Reader, claim: Claim): { lines: string[]; says: string } {
  const kind = data.quantity;
  const [low, high] = extent(known(data.value));
  const words = (name: string) => claimedWords(claim, name, reader);
  const read = (value: number | undefined) => show(value, kind, reader.system);
  if (low === high) return { lines: ['always', read(low)], says: `reads ${read(low)} all the time` };
  const range = `reads ${read(low)} to ${read(high)}`;
  const share = claimed(claim, 'share');
  switch (claim.condition) {
    case 'sensor-loose': {
      const running = data.value.filter((_, index) => data.running[index]);
      const [value, air] = [running, data.ambient_K].map((column) =>
        show(middle(column), 'temperature', reader.system),
      );
      return {
        lines: share === null ? [value, `ambient ${air}`] : [`${percent(share)} of way`, 'to ambient'],
        says: `reads ${value} while running, ambient ${air} (medians)`,
      };
    }
    case 'value-clipped':
      return words('value') === null
        ? { lines: [read(high)], says: range }
        : {
            lines: ['clipped at', words('value')!],
            says: `${range}${share === null ? '' : `, for ${percent(share)} of all samples exactly ${words('value')}`}`,
          };
    case 'value-noisy':
      return words('scatter') === null
        ? { lines: [read(low), `to ${read(high)}`], says: range }
        : { lines: ['scatters by', words('scatter')!], says: `${range} and scatters by ${words('scatter')}` };
    case 'value-jumping':
      return words('size') === null
        ? { lines: [read(low), `to ${read(high)}`], says: range }
        : { lines: ['jumps by', words('size')!], says: `${range} and jumps by ${words('size')} and back` };
    default:
      return { lines: [read(low), `to ${read(high)}`], says: range };
  }
}

/** Frozen, jumping, clipped or noisy: the signal itself. Loose: the same with what it should follow and what it does. */
export function signalPicture(data: Data, reader: Reader, claim: Claim): Picture {
  const x = clocks(data.time_s, reader);
  const name = capitalised(data.sensor.replaceAll('-', ' '));
  const kind = data.quantity;
  const { lines, says } = claimOf(data, reader, claim);
  const at = (time_s: number | undefined) => formatInstant(time_s ?? 0, reader.zone);
  const span = `${at(data.time_s[0])} to ${at(data.time_s.at(-1))}`;
  const clipped = claim.condition === 'value-clipped' ? claimed(claim, 'value') : null;
  return {
    x: timeAxis,
    panels: [
      {
        title: name,
        unit: unitOf(kind, reader),
        weight: 1,
        marks: [
          ...linesOver(x, [{ name, tone: 1, y: converted(data.value, kind, reader) }], gap),
          ...(claim.condition === 'sensor-loose' ? beside(data, x, reader) : []),
        ],
        levels: clipped === null ? [] : [{ value: shownIn(clipped, kind, reader), words: 'clipped' }],
      },
    ],
    spans: stretches(
      x,
      data.running.map((runs) => !runs),
    ),
    lines: [],
    beside: lines,
    says: `The ${name.toLowerCase()} of circuit ${data.circuit} ${says} from ${span}.`,
    caption: `Circuit ${data.circuit}, ${span}; shaded: the circuit is off.`,
  };
}
