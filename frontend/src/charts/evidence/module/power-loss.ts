import { formatDuration, formatInstant, show } from '../../../quantities/format-quantity.js';
import {
  clock,
  clocks,
  linesOver,
  timeAxis,
  type EvidenceOf,
  type Picture,
  type Reader,
} from '../picture.js';
import { openingPanel, superheatPanel } from '../panels.js';

/** A loss of mains replayed: superheat, valve opening and module voltage, from before the loss to after the restart. */
export function powerLossPicture(data: EvidenceOf<'power-loss'>, reader: Reader): Picture {
  const x = clocks(data.time_s, reader);
  const gap = 180_000;
  const lowest =
    data.restartLowest_K === null
      ? null
      : show(data.restartLowest_K, 'temperature-difference', reader.system);
  const end_s = data.to_s ?? data.time_s.at(-1) ?? data.from_s;
  return {
    x: timeAxis,
    panels: [
      superheatPanel(x, data.superheat_K, data.floodbackLimit_K, gap, reader),
      openingPanel(x, data.valveOpening_pct, gap),
      {
        title: 'Module voltage',
        unit: 'V',
        weight: 1,
        marks: linesOver(
          clocks(data.moduleTime_s, reader),
          [{ name: 'Module voltage', tone: 3, y: [...data.voltage_V] }],
          gap,
        ),
        levels: [],
      },
    ],
    spans: [{ from: clock(data.from_s, reader), to: clock(end_s, reader) }],
    lines: data.restartAt_s === null ? [] : [{ at: clock(data.restartAt_s, reader), words: 'restart' }],
    beside: lowest === null ? ['restart', 'not seen'] : [lowest, 'at restart'],
    says: `Mains lost at ${formatInstant(data.from_s, reader.zone)}${data.to_s === null ? ', return not seen' : ` for ${formatDuration(data.to_s - data.from_s)}`}; ${lowest === null ? `the restart of circuit ${data.circuit} was not seen` : `in the ten minutes after its restart superheat of circuit ${data.circuit} was down to ${lowest}`}; floodback limit ${show(data.floodbackLimit_K, 'temperature-difference', reader.system)}.`,
    caption: `Circuit ${data.circuit} and module ${data.module}; shaded: mains lost, ${formatInstant(data.from_s, reader.zone)}.`,
  };
}
