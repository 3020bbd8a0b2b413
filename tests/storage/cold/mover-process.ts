/** Moves what is old and, reaching a step for a given time, is killed as by a power cut. */
import { ColdStore } from '../../../backend/server/src/storage/cold/cold-store.js';
import { FolderPlace } from '../../../backend/server/src/storage/cold/folder-place.js';
import { createPool, Database } from '../../../backend/server/src/storage/index.js';
import { after_days, now } from './cold-case.js';

const { COLD_DATABASE, COLD_FOLDER, COLD_STEP, COLD_TIME, COLD_ROWS } = process.env;
const database = new Database(createPool(COLD_DATABASE!));
const store = new ColdStore({
  ...{ database, workFolder: COLD_FOLDER! },
  place: () => new FolderPlace(`${COLD_FOLDER}/store`),
});
let times = 0;
await store
  .mover({
    ...{ after_days, retention_days: null, most_rows: Number(COLD_ROWS) },
    reached: (step) => {
      if (step === COLD_STEP && ++times === Number(COLD_TIME)) process.kill(process.pid, 'SIGKILL');
    },
  })
  .run(now);
process.exit(3);
