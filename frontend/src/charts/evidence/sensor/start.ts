import { formatInstant, show } from '../../../quantities/format-quantity.js';
import {
  clock,
  clocks,
  converted,
  linesOver,
  timeAxis,
  unitOf,
  type Column,
  type EvidenceOf,
  type Picture,
  type Reader,
} from '../picture.js';

/** Swapped transducers: the two pressures over a start. The one called suction rises. */
export function startPicture(data: EvidenceOf<'start'>, reader: Reader): Picture {
  const end = (values: Column) => values.findLast((value) => value !== null) ?? null;
  const suction = show(end(data.suctionPressure_Pa), 'pressure', reader.system);
  const discharge = show(end(data.dischargePressure_Pa), 'pressure', reader.system);
  const unit = unitOf('pressure', reader);
  const figure = (words: string) => words.replace(` ${unit}`, '');
  return {
    x: timeAxis,
    panels: [
      {
        title: 'Pressure',
        unit,
        weight: 1,
        marks: linesOver(
          clocks(data.time_s, reader),
          [
            {
              name: 'Registered as suction',
              tone: 4,
              y: converted(data.suctionPressure_Pa, 'pressure', reader),
            },
            {
              name: 'Registered as discharge',
              tone: 1,
              y: converted(data.dischargePressure_Pa, 'pressure', reader),
            },
          ],
          120_000,
        ),
        levels: [],
      },
    ],
    spans: [],
    lines: [{ at: clock(data.startedAt_s, reader), words: 'start' }],
    beside: [`suction ${figure(suction)}`, `discharge ${figure(discharge)}`, unit],
    says: `Twenty minutes after a start of circuit ${data.circuit} the transducer registered as suction reads ${suction}, the one registered as discharge ${discharge}.`,
    caption: `Circuit ${data.circuit}, from ten minutes before the start at ${formatInstant(data.startedAt_s, reader.zone)} to twenty minutes after it.`,
  };
}
