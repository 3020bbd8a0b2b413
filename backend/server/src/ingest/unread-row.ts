import type { Rejection } from '@coldrounds/core/telemetry';
import type { UnreadRow } from '../storage/incoming/ingest-batch.js';
import type { HeldMessage } from './receiving/acknowledging-client.js';

/** Longest topic that is kept of a message that could not be read. MQTT allows 65,535 bytes. */
const keptTopic = 1_000;

/** PostgreSQL's text holds no zero character. */
const storable = (text: string) => text.replaceAll('\0', '?');

/** A message that could not be read, to be kept whole. */
export const unreadRow = (
  message: HeldMessage,
  { reason, detail }: Pick<Rejection, 'detail'> & { reason: string },
): UnreadRow => ({
  topic: storable(message.topic.slice(0, keptTopic)),
  payload: message.payload,
  reason,
  detail: storable(detail),
  receivedAt_ms: message.receivedAt_ms,
  delivery: message.delivery,
  redelivered: message.mayBeRedelivered,
  connectedAt_ms: message.connectedAt_ms,
});
