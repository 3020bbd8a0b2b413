import { formatInstant, show } from '../../../quantities/format-quantity.js';
import { known, linesOver, secondsAxis, type EvidenceOf, type Picture, type Reader } from '../picture.js';

/** Did not shut: the valve's opening and the module's voltage over the closing. */
export function closingPicture(data: EvidenceOf<'closing'>, reader: Reader): Picture {
  const x = [...data.time_s];
  const opening = known(data.valveOpening_pct);
  const voltage = known(data.voltage_V);
  const at = (values: number[], index: number, kind: string) =>
    show(values.at(index), kind, reader.system, 'not known');
  return {
    x: secondsAxis,
    panels: [
      {
        title: 'Valve opening',
        unit: '%',
        weight: 1,
        marks: linesOver(x, [{ name: 'Valve opening', tone: 2, y: [...data.valveOpening_pct] }]),
        levels: [],
        include: [0],
      },
      {
        title: 'Module voltage',
        unit: 'V',
        weight: 1,
        marks: linesOver(x, [{ name: 'Module voltage', tone: 3, y: [...data.voltage_V] }]),
        levels: [{ value: data.minimumVoltage_V, words: 'converter stops' }],
      },
    ],
    spans: [],
    lines: [],
    beside: [`ends at ${at(opening, -1, 'percent-opening')}`, at(voltage, -1, 'voltage')],
    says: `Closing of ${formatInstant(data.startedAt_s, reader.zone)}: valve opening from ${at(opening, 0, 'percent-opening')} to ${at(opening, -1, 'percent-opening')}, module voltage from ${at(voltage, 0, 'voltage')} to ${at(voltage, -1, 'voltage')}.`,
    caption: `Module ${data.module}, closing of ${formatInstant(data.startedAt_s, reader.zone)}.`,
  };
}
