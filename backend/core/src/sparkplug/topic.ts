/**
 * Topics of Sparkplug B (Sparkplug 3.0, ISO/IEC 20237, chapter 4): `spBv1.0/{group}/{message}/{edge node}[/{device}]`.
 */
export const sparkplugRoot = 'spBv1.0';

export const sparkplugMessages = ['NBIRTH', 'NDEATH', 'NDATA', 'DBIRTH', 'DDEATH', 'DDATA'] as const;
export type SparkplugMessageType = (typeof sparkplugMessages)[number];

/** An edge node: the gateway, as group and node identify it. */
export interface EdgeNodeAddress {
  group: string;
  edge: string;
}

export interface SparkplugAddress extends EdgeNodeAddress {
  type: SparkplugMessageType;
  /** '' for a message of the edge node itself. */
  device: string;
}

/** What a reader subscribes to: births, deaths and data, no commands. */
export const sparkplugFilters: readonly string[] = sparkplugMessages.map(
  (type) => `${sparkplugRoot}/+/${type}/+${type.startsWith('D') ? '/+' : ''}`,
);

/** Longest identifier that is taken. The standard has no limit; this is judgement, no source. */
const longestId = 200;
const isId = (text: string | undefined): text is string =>
  text !== undefined && text.length > 0 && text.length <= longestId && !/[+#\0]/.test(text);

/**
 * Reads a topic of births, deaths or data; null for any other.
 *
 * @example parseSparkplugTopic('spBv1.0/Sparkplug B Devices/DDATA/Raspberry Pi/Pibrella')
 */
export function parseSparkplugTopic(topic: string): SparkplugAddress | null {
  const [root, group, word, edge, device, ...more] = topic.split('/');
  const type = sparkplugMessages.find((name) => name === word);
  if (root !== sparkplugRoot || type === undefined || more.length > 0) return null;
  if (!isId(group) || !isId(edge)) return null;
  if (type.startsWith('N')) return device === undefined ? { group, type, edge, device: '' } : null;
  return isId(device) ? { group, type, edge, device } : null;
}

/** Where an edge node takes commands; we ask for one alone, `Node Control/Rebirth`. */
export const commandTopic = ({ group, edge }: EdgeNodeAddress): string =>
  `${sparkplugRoot}/${group}/NCMD/${edge}`;
