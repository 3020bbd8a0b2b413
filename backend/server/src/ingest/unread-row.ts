import type { Rejection } from '@coldrounds/core/telemetry';
import type { UnreadRow } from '../storage/incoming/ingest-batch.js';
import type { HeldMessage } from './receiving/acknowledging-client.js';

/** Longest topic that is kept of a message that could not be read. MQTT allows 65,535 bytes. */
const keptTopic = 1_000;

/** PostgreSQL's text holds no zero character. */
const storable = (text: string) => text.replaceAll('\0', '?');

const longestDetail = 600;

/** For a person to read: what came from outside may hold characters that do not print, and may be long. */
function printable(text: string): string {
  const plain = text.replace(/\p{Cc}/gu, '?');
  return plain.length <= longestDetail ? plain : `${plain.slice(0, longestDetail - 2)}….`;
}

/** A message that could not be read, to be kept whole. */
export const unreadRow = (
  message: HeldMessage,
  { reason, detail }: Pick<Rejection, 'detail'> & { reason: string },
): UnreadRow => ({
  topic: storable(message.topic.slice(0, keptTopic)),
  payload: message.payload,
  reason,
  detail: printable(detail),
  receivedAt_ms: message.receivedAt_ms,
  delivery: message.delivery,
  redelivered: message.mayBeRedelivered,
  connectedAt_ms: message.connectedAt_ms,
});
