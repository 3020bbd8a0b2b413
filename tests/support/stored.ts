import { defaultReadLimits, readMessage } from '../../backend/server/src/ingest/read-message.js';
import { UnitDirectory } from '../../backend/server/src/ingest/unit-directory.js';
import { type Database, emptyBatch, IngestRepository } from '../../backend/server/src/storage/index.js';
import { loadIngestUnits } from '../../backend/server/src/storage/ingest-registry.js';
import type { Outgoing } from './publish.js';

/** Reads and stores messages as the ingester does, without a broker between. */
export async function storeMessages(database: Database, messages: readonly Outgoing[]): Promise<void> {
  const directory = new UnitDirectory(() => loadIngestUnits(database));
  const repository = new IngestRepository(database.pool);
  for (const { topic, payload } of messages) {
    const parts = await readMessage(
      {
        topic,
        payload: Buffer.from(payload),
        receivedAt_ms: Date.now(),
        delivery: null,
        mayBeRedelivered: false,
        acknowledge: () => {},
        isCurrent: () => true,
      },
      directory,
      defaultReadLimits,
    );
    await repository.write({ ...emptyBatch(), ...parts });
  }
}
