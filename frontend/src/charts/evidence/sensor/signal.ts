import { extent } from 'd3-array';
import { formatInstant, show } from '../../../quantities/format-quantity.js';
import {
  clocks,
  converted,
  known,
  linesOver,
  stretches,
  timeAxis,
  unitOf,
  type EvidenceOf,
  type Picture,
  type Reader,
} from '../picture.js';

type Data = EvidenceOf<'signal'>;

/** Frozen, jumping, clipped or noisy: the signal itself. Loose: the same with what it should follow and what it does. */
export function signalPicture(data: Data, reader: Reader, loose = false): Picture {
  const x = clocks(data.time_s, reader);
  const name = data.sensor.replaceAll('-', ' ');
  const [low, high] = extent(known(data.value));
  const kind = data.quantity;
  const range = `${show(low, kind, reader.system)} to ${show(high, kind, reader.system)}`;
  const same = low === high;
  return {
    x: timeAxis,
    panels: [
      {
        title: name[0].toUpperCase() + name.slice(1),
        unit: unitOf(kind, reader),
        weight: 1,
        marks: linesOver(
          x,
          [
            { name, tone: 1, y: converted(data.value, kind, reader) },
            ...(loose
              ? [
                  {
                    name: 'Ambient',
                    tone: 'quiet' as const,
                    dashed: true,
                    y: converted(data.ambient_K, 'temperature', reader),
                  },
                  {
                    name: 'Evaporating temperature',
                    tone: 2 as const,
                    y: converted(data.evaporating_K, 'temperature', reader),
                  },
                ]
              : []),
          ],
          600_000,
        ),
        levels: [],
      },
    ],
    spans: stretches(
      x,
      data.running.map((runs) => !runs),
    ),
    lines: [],
    beside: same
      ? ['always', show(low, kind, reader.system)]
      : [show(low, kind, reader.system), `to ${show(high, kind, reader.system)}`],
    says: `The ${name} of circuit ${data.circuit} ${same ? `reads ${show(low, kind, reader.system)} all the time` : `reads ${range}`} from ${formatInstant(data.time_s[0] ?? 0, reader.zone)} to ${formatInstant(data.time_s.at(-1) ?? 0, reader.zone)}${loose ? `; ambient ${show(known(data.ambient_K)[0], 'temperature', reader.system)} at its begin` : ''}.`,
    caption: `Circuit ${data.circuit}, ${formatInstant(data.time_s[0] ?? 0, reader.zone)} to ${formatInstant(data.time_s.at(-1) ?? 0, reader.zone)}; shaded: the circuit is off.`,
  };
}
