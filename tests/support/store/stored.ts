import type { HeldMessage } from '../../../backend/server/src/ingest/receiving/acknowledging-client.js';
import { defaultReadLimits, readMessage } from '../../../backend/server/src/ingest/read-message.js';
import { RelativeTimes } from '../../../backend/server/src/ingest/relative-times.js';
import { UnitDirectory } from '../../../backend/server/src/ingest/unit-directory.js';
import { type Database, emptyBatch, IngestRepository } from '../../../backend/server/src/storage/index.js';
import { loadIngestUnits } from '../../../backend/server/src/storage/incoming/ingest-registry.js';
import type { Outgoing } from '../publish.js';

/** Reads and stores messages as the ingester does, without a broker between. */
export async function storeMessages(
  database: Database,
  messages: readonly (Outgoing & Partial<Omit<HeldMessage, 'topic' | 'payload'>>)[],
): Promise<void> {
  const directory = new UnitDirectory(() => loadIngestUnits(database));
  const repository = new IngestRepository(database.pool);
  const relativeTimes = new RelativeTimes((...given) => repository.resolvedAt_ms(...given));
  for (const { topic, payload, ...how } of messages) {
    const parts = await readMessage(
      {
        topic,
        payload: Buffer.from(payload),
        receivedAt_ms: Date.now(),
        delivery: null,
        mayBeRedelivered: false,
        connectedAt_ms: 0,
        acknowledge: () => {},
        ...how,
      },
      directory,
      defaultReadLimits,
      relativeTimes,
    );
    await repository.write({ ...emptyBatch(), ...parts });
  }
}
