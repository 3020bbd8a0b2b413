import { finishFinding, type FindingDraft } from '../../diagnosis/draft.js';
import type { Finding, Hazard } from '../../diagnosis/finding.js';
import { quantity, statement } from '../../diagnosis/statement.js';
import type { SensorName } from '../standstill/thermal-consensus.js';

/** What waiting costs follows from the sensor where a draft does not say it. */
export interface SensorDraft extends Omit<FindingDraft, 'waiting'> {
  waiting?: FindingDraft['waiting'];
  sensor: SensorName;
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

/** Weather moves the pressure of the air by about this much, Pa (common practice, no source). */
export const weather_Pa = 1500;

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
  const usual = onSuction(draft.sensor)
    ? statement('Until it is corrected, superheat and everything derived from it are wrong.')
    : statement('Until it is corrected, condensing temperature and subcooling are wrong.');
  return finishFinding(
    { ...draft, waiting: draft.waiting ?? usual },
    {
      subject: { kind: 'sensor', circuit, sensor: draft.sensor },
      hazards: [...pressureSide, 'live-parts', 'rotating-parts'],
      firstSeen_s: draft.firstSeen_s,
      lastSeen_s: draft.lastSeen_s,
    },
  );
}
