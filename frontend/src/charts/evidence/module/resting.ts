import { formatInstant, show } from '../../../quantities/format-quantity.js';
import {
  clocks,
  known,
  linesOver,
  middle,
  timeAxis,
  type EvidenceOf,
  type Picture,
  type Reader,
} from '../picture.js';

/** Charger, leakage, health contact: voltage and current of the module while it waits. */
export function restingPicture(data: EvidenceOf<'resting'>, reader: Reader): Picture {
  const x = clocks(data.time_s, reader);
  const voltage = show(middle(data.voltage_V), 'voltage', reader.system);
  const current = known(data.current_A).length > 0 ? middle(data.current_A) : null;
  const bad = known(data.health).filter((value) => value === 0).length;
  const rated = show(data.ratedVoltage_V, 'voltage', reader.system);
  return {
    x: timeAxis,
    panels: [
      {
        title: 'Module voltage',
        unit: 'V',
        weight: 1,
        marks: linesOver(x, [{ name: 'Module voltage', tone: 3, y: [...data.voltage_V] }], 7_200_000),
        levels: [
          { value: data.ratedVoltage_V, words: 'rated' },
          { value: data.minimumVoltage_V, words: 'converter stops' },
        ],
      },
      {
        title: 'Module current',
        unit: 'A',
        weight: 1,
        marks: linesOver(x, [{ name: 'Module current', tone: 2, y: [...data.current_A] }], 7_200_000),
        levels: [],
      },
    ].filter(({ marks }) => marks.length > 0),
    spans: [],
    lines: [],
    beside: [voltage, `${rated} rated`],
    says: `Module ${data.module} rests at ${voltage}, rated ${rated}${current === null ? '' : `, with ${show(current, 'current', reader.system)}`}${known(data.health).length === 0 ? '' : bad === 0 ? '; its health contact reports good' : `; its health contact reports a fault in ${bad} of ${known(data.health).length} half hours`}.`,
    caption: `Module ${data.module}, a week to ${formatInstant(data.time_s.at(-1) ?? 0, reader.zone)}.`,
  };
}
