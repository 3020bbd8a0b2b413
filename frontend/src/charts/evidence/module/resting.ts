import { formatInstant, show } from '../../../quantities/format-quantity.js';
import {
  claimedWords,
  clocks,
  known,
  linesOver,
  middle,
  percent,
  timeAxis,
  type Claim,
  type EvidenceOf,
  type Panel,
  type Picture,
  type Reader,
} from '../picture.js';

type Data = EvidenceOf<'resting'>;

const gap = 7_200_000;

function voltagePanel(data: Data, x: number[]): Panel {
  return {
    title: 'Module voltage',
    unit: 'V',
    weight: 1,
    marks: linesOver(x, [{ name: 'Module voltage', tone: 3, y: [...data.voltage_V] }], gap),
    levels: [
      { value: data.ratedVoltage_V, words: 'rated' },
      { value: data.minimumVoltage_V, words: 'converter stops' },
    ],
  };
}

/** A module that waits draws milliamperes at most; more, over this many times what is normal, charges it. */
const charging = 10;

/** What the module draws while it is full, in mA, with what is normal; the charging after a discharge would hide it. */
function drawnPanel(data: Data, x: number[]): Panel {
  const limit_A = data.floatLimit_A;
  const usual_A = Math.max(limit_A ?? 0, Math.abs(middle(data.current_A)) || 0);
  const drawn = data.current_A.map((current) =>
    current === null || Math.abs(current) > charging * usual_A ? null : -1000 * current,
  );
  return {
    title: 'Current drawn at rest',
    unit: 'mA',
    weight: 1,
    marks: linesOver(x, [{ name: 'Current drawn at rest', tone: 2, y: drawn }], gap),
    levels: limit_A === null ? [] : [{ value: 1000 * limit_A, words: 'normal up to this' }],
    include: [0],
  };
}

function healthPanel(data: Data, x: number[]): Panel {
  return {
    title: 'Health contact, 1 good, 0 fault',
    unit: '',
    weight: 0.6,
    marks: linesOver(x, [{ name: 'Health contact', tone: 1, y: [...data.health] }], gap),
    levels: [],
    include: [0, 1],
  };
}

/** The quantity that the finding is about comes first. */
function panelsOf(data: Data, x: number[], condition: string): Panel[] {
  const [voltage, drawn, health] = [voltagePanel(data, x), drawnPanel(data, x), healthPanel(data, x)];
  if (condition.startsWith('health')) return [health, voltage, drawn];
  return condition === 'leaking-charge' ? [drawn, voltage] : [voltage, drawn];
}

/** What the finding is about; null where that is the voltage. */
function besideOf(data: Data, reader: Reader, claim: Claim): string[] | null {
  const drawn = claimedWords(claim, 'current', reader);
  if (claim.condition === 'leaking-charge' && drawn !== null) {
    const normal = data.floatLimit_A === null ? [] : [show(data.floatLimit_A, 'current', reader.system)];
    return [`draws ${drawn}`, ...normal.map((words) => `normal ${words}`)];
  }
  const contact = known(data.health);
  if (!claim.condition.startsWith('health') || contact.length === 0) return null;
  const stuck = claim.condition === 'health-contact-stuck';
  const reports = contact.filter((value) => value >= 0.5 === stuck).length / contact.length;
  return [`${stuck ? 'good' : 'fault'} ${percent(reports)}`, 'of the time'];
}

/** Charger, leakage, health contact: what the module sends while it waits. */
export function restingPicture(data: Data, reader: Reader, claim: Claim): Picture {
  const x = clocks(data.time_s, reader);
  const words = (value: number | null, kind: string) => show(value, kind, reader.system);
  const voltage = words(middle(data.voltage_V), 'voltage');
  const rated = words(data.ratedVoltage_V, 'voltage');
  const drawn = known(data.current_A).length > 0 ? words(-middle(data.current_A), 'current') : null;
  const normal = data.floatLimit_A === null ? null : words(data.floatLimit_A, 'current');
  const contact = known(data.health);
  const bad = contact.filter((value) => value < 0.5).length;
  const faults = `a fault in ${bad} of ${contact.length} half hours`;
  return {
    x: timeAxis,
    panels: panelsOf(data, x, claim.condition).filter(({ marks }) => marks.length > 0),
    spans: [],
    lines: [],
    beside: besideOf(data, reader, claim) ?? [voltage, `${rated} rated`],
    says: `Module ${data.module} rests at ${voltage}, rated ${rated}${drawn === null ? '' : `, and draws ${drawn}${normal === null ? '' : `, where up to ${normal} is normal`}`}${contact.length === 0 ? '' : `; its health contact reports ${bad === 0 ? 'good' : faults}`}.`,
    caption: `Module ${data.module}, a week to ${formatInstant(data.time_s.at(-1) ?? 0, reader.zone)}${drawn === null ? '' : '; the charging after a discharge is left out'}.`,
  };
}
