import type { Logger } from 'pino';
import { WakeableLoop } from '../background/wakeable-loop.js';
import type { Config } from '../config/index.js';
import { BucketPlace } from '../storage/cold/bucket-place.js';
import { ColdStore } from '../storage/cold/cold-store.js';
import { FolderPlace } from '../storage/cold/folder-place.js';
import type { Database } from '../storage/index.js';

const moveEvery_ms = 3_600_000;

/** The cold store as it is set, and what moves readings into it in this process; null: none. */
export function createCold(config: Config, database: Database, logger: Logger) {
  const store = createStore(config, database);
  return { store, moving: createMoving(config, store, logger) };
}

function createStore(config: Config, database: Database): ColdStore | null {
  if (config.cold === null) return null;
  const { place, workFolder } = config.cold;
  return new ColdStore({
    ...{ database, workFolder },
    place: (folder) =>
      place.kind === 'folder' ? new FolderPlace(place.folder) : new BucketPlace(place, folder),
  });
}

/** Moves what is old: at the start, then every hour. */
function createMoving(config: Config, cold: ColdStore | null, logger: Logger): WakeableLoop | null {
  if (cold === null || config.cold === null || !config.roles.includes('assess')) return null;
  const mover = cold.mover({
    ...{ after_days: config.cold.after_days, retention_days: config.readingsRetention_days },
    stopped: () => loop.stopped,
  });
  const loop = new WakeableLoop(
    async () => {
      const moved = await mover.run();
      if (moved !== null && moved.rows > 0) logger.info(moved, 'readings were moved to the cold store');
    },
    moveEvery_ms,
    (error) => logger.warn({ err: error }, 'readings could not be moved to the cold store'),
  );
  return loop;
}
