import { formatInstant, show } from '../../../quantities/format-quantity.js';
import {
  clocks,
  converted,
  linesOver,
  middle,
  stretches,
  timeAxis,
  unitOf,
  type EvidenceOf,
  type Picture,
  type Reader,
} from '../picture.js';
import { capitalised } from '../../../quantities/capitalised.js';

const bin_s = 120;

/** Sensors swapped between two circuits: both readings while just one circuit runs, which the shading shows. */
export function betweenCircuitsPicture(data: EvidenceOf<'between-circuits'>, reader: Reader): Picture {
  const [first] = data.circuits;
  const { quantity } = data;
  const name = data.sensor.replace('-', ' ');
  const runs = data.circuits.map(
    ({ time_s, running }) => new Map(time_s.map((time, k) => [time, running[k]])),
  );
  /** Whether one runs and the other stands at a time. */
  const alone = (one: number, time: number) =>
    runs[one].get(time) === true && runs[1 - one].get(time) === false;
  const hours = [0, 1].map((one) => first.time_s.filter((time) => alone(one, time)).length);
  const runner = hours[0] >= hours[1] ? 0 : 1;
  const [own, other] = [runner, 1 - runner].map((k) => {
    const { time_s, value } = data.circuits[k];
    const read = middle(value.filter((_, at) => alone(runner, time_s[at])));
    return { circuit: data.circuits[k].circuit, read: show(read, quantity, reader.system) };
  });
  return {
    x: timeAxis,
    panels: [
      {
        title: capitalised(name),
        unit: unitOf(quantity, reader),
        weight: 1,
        marks: data.circuits.flatMap(({ circuit, time_s, value }, k) =>
          linesOver(
            clocks(time_s, reader),
            [
              {
                name: `Registered on circuit ${circuit}`,
                tone: k === 0 ? 1 : 4,
                y: converted(value, quantity, reader),
              },
            ],
            3 * bin_s * 1000,
          ),
        ),
        levels: [],
      },
    ],
    spans: stretches(
      clocks(first.time_s, reader),
      first.time_s.map((time) => alone(runner, time)),
      bin_s * 1000,
    ),
    lines: [],
    beside: [own, other].map(({ circuit, read }) => `${circuit}: ${read}`),
    says: `While only circuit ${own.circuit} runs, its ${name} sensor reads ${own.read} on the median and that of circuit ${other.circuit}, which stands, ${other.read}.`,
    caption: `Two-minute means from ${formatInstant(first.time_s[0] ?? 0, reader.zone)}; shaded: only circuit ${own.circuit} runs.`,
  };
}
