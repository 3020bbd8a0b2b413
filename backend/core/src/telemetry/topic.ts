import { topicRoot, type Stream } from './contract.js';

/** Whose telemetry a topic carries. */
export interface TopicAddress {
  site: string;
  unit: string;
  stream: Stream;
  /** Circuit or module number; null on the unit's own streams. */
  number: number | null;
}

const key = '[a-z0-9][a-z0-9-]{0,62}';
const pattern = new RegExp(
  `^${topicRoot}/(${key})/(${key})/(?:circuits/(\\d{1,3})|(water|condenser)|backup/(\\d{1,3})(/closing)?|(presence))$`,
);

/**
 * Reads a topic of the contract; null for any other.
 *
 * @example parseTopic('coldrounds/1/harbour/chiller-1/circuits/2')
 */
export function parseTopic(topic: string): TopicAddress | null {
  const match = pattern.exec(topic);
  if (!match) return null;
  const [, site, unit, circuit, side, module, closing, presence] = match;
  if (circuit) return { site, unit, stream: 'circuits', number: Number(circuit) };
  if (side) return { site, unit, stream: side as 'water' | 'condenser', number: null };
  if (presence) return { site, unit, stream: 'presence', number: null };
  return { site, unit, stream: closing ? 'closing' : 'backup', number: Number(module) };
}

/** The topic of an address, as a gateway publishes on it. */
export function formatTopic({ site, unit, stream, number }: TopicAddress): string {
  const head = `${topicRoot}/${site}/${unit}`;
  switch (stream) {
    case 'circuits':
      return `${head}/circuits/${number}`;
    case 'backup':
      return `${head}/backup/${number}`;
    case 'closing':
      return `${head}/backup/${number}/closing`;
    default:
      return `${head}/${stream}`;
  }
}
