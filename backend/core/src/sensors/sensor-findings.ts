import { quantity, statement, type Statement } from '../diagnosis/statement.js';
import type { Certainty, Explanation, Finding, Hazard, Urgency } from '../diagnosis/finding.js';
import type { SensorName } from './thermal-consensus.js';

export interface SensorDraft {
  condition: string;
  sensor: SensorName;
  headline: Statement;
  reasons: Statement[];
  explanations?: Explanation[];
  separatingCheck?: Statement;
  certainty: Certainty;
  urgency: Urgency;
  score: number;
  visit: Statement[];
  firstSeen_s: number;
  lastSeen_s: number;
}

/** Words for a sensor in a sentence. */
export const sensorWords: Record<SensorName, string> = {
  'suction-pressure': 'suction pressure transducer',
  'discharge-pressure': 'discharge pressure transducer',
  'suction-temperature': 'suction temperature sensor',
  'discharge-temperature': 'discharge temperature sensor',
  'liquid-temperature': 'liquid temperature sensor',
};

const onSuction = (sensor: SensorName) => sensor.startsWith('suction');

export const kelvins = (value: number, uncertainty?: number) =>
  quantity('temperature-difference', value, uncertainty);
export const pascals = (value: number, uncertainty?: number) =>
  quantity('pressure-difference', value, uncertainty);
export const duration = (value_s: number) => quantity('duration', value_s);

/** The finding that a draft describes, with the cautions that belong to hands on this kind of sensor. */
export function findingOf(
  circuit: number,
  draft: SensorDraft,
  refrigerantHazards: readonly Hazard[],
): Finding {
  const pressureSide: Hazard[] = draft.sensor.endsWith('pressure') ? ['pressure', ...refrigerantHazards] : [];
  const sentence = onSuction(draft.sensor)
    ? statement('Until it is put right, superheat and every judgement built on it is off.')
    : statement('Until it is put right, condensing values and subcooling are off.');
  return {
    condition: draft.condition,
    subject: { kind: 'sensor', circuit, sensor: draft.sensor },
    headline: draft.headline,
    reasons: draft.reasons,
    explanations: draft.explanations ?? [],
    separatingCheck: draft.separatingCheck ?? null,
    certainty: draft.certainty,
    urgency: draft.urgency,
    waiting: { score: draft.score, sentence },
    visit: draft.visit,
    hazards: [...pressureSide, 'live-parts', 'rotating-parts'],
    firstSeen_s: draft.firstSeen_s,
    lastSeen_s: draft.lastSeen_s,
  };
}
