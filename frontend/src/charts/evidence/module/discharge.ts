import { formatInstant, show } from '../../../quantities/format-quantity.js';
import { linesOver, secondsAxis, type EvidenceOf, type Picture, type Reader } from '../picture.js';

/** Capacitor: the discharge of the newest closing, and the same from a module as it was when new. */
export function dischargePicture(data: EvidenceOf<'discharge'>, reader: Reader): Picture {
  const now = show(data.capacitance_F, 'capacitance', reader.system, 'an unknown value');
  const whenNew = show(data.capacitanceWhenNew_F, 'capacitance', reader.system, 'an unknown value');
  const whenNewWords = data.whenNewFrom === 'own' ? `when new it had ${whenNew}` : `it is rated ${whenNew}`;
  const from = data.whenNewFrom === 'own' ? 'when new' : 'rated';
  return {
    x: secondsAxis,
    panels: [
      {
        title: 'Module voltage',
        unit: 'V',
        weight: 1,
        marks: linesOver(
          [...data.time_s],
          [
            { name: 'Now', tone: 3, y: [...data.voltage_V] },
            {
              name: from === 'rated' ? 'With the rated value' : 'When new',
              tone: 'quiet',
              dashed: true,
              y: [...data.voltageWhenNew_V],
            },
          ],
        ),
        levels: [{ value: data.minimumVoltage_V, words: 'converter stops' }],
      },
    ],
    spans: [],
    lines: [],
    beside: [now, `${whenNew} ${from}`],
    says: `In the closing of ${formatInstant(data.startedAt_s, reader.zone)} module ${data.module} discharged like a capacitor of ${now}; ${whenNewWords}. The converter stops at ${show(data.minimumVoltage_V, 'voltage', reader.system)}.`,
    caption: `Module ${data.module}, closing of ${formatInstant(data.startedAt_s, reader.zone)}; dashed: the same current from the ${from === 'rated' ? 'rated value' : 'value when new'}.`,
  };
}
