import { formatInstant, show } from '../../../quantities/format-quantity.js';
import { clock, clocks, timeAxis, type EvidenceOf, type Picture, type Reader } from '../picture.js';
import { openingPanel, superheatPanel } from '../panels.js';

/** Hunting: twenty minutes of superheat with every second cycle shaded, the valve's opening beneath. */
export function swingPicture(data: EvidenceOf<'swing'>, reader: Reader): Picture {
  const x = clocks(data.time_s, reader);
  const gap = 120_000;
  const amplitude = show(data.amplitude_K, 'temperature-difference', reader.system);
  const period = show(data.period_s, 'duration', reader.system);
  const limit = show(data.floodbackLimit_K, 'temperature-difference', reader.system);
  return {
    x: timeAxis,
    panels: [
      superheatPanel(x, data.superheat_K, data.floodbackLimit_K, gap, reader),
      openingPanel(x, data.valveOpening_pct, gap),
    ],
    spans: data.cycles
      .filter((_, index) => index % 2 === 0)
      .map(({ from_s, to_s }) => ({ from: clock(from_s, reader), to: clock(to_s, reader) })),
    lines: [],
    beside: [`±${amplitude}`, `every ${period}`],
    says: `Superheat of circuit ${data.circuit} swings by ${amplitude} to either side every ${period}; ${data.cycles.length} cycles in twenty minutes, with the valve’s opening beneath; floodback limit ${limit}.`,
    caption: `Circuit ${data.circuit}, ${formatInstant(data.time_s[0] ?? 0, reader.zone)}, twenty minutes; every second cycle shaded.`,
  };
}
