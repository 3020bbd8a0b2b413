/** The thread in which questions of the fleet are worked out: a small process of its own within the server's. */
import { setTimeout } from 'node:timers/promises';
import { parentPort, workerData } from 'node:worker_threads';
import { WakeableLoop } from '../background/wakeable-loop.js';
import { FleetService } from '../registry/fleet.service.js';
import { createPool, Database } from '../storage/index.js';
import { FleetRepository } from '../storage/repositories/fleet.repository.js';
import { DailyFiguresRepository } from '../storage/repositories/results/daily-figures.repository.js';
import { StudyRepository } from '../storage/repositories/study.repository.js';
import { KeptFigures } from '../study/figures/kept-figures.js';
import { answerCalls } from '../study/thread/answer-calls.js';
import { createQuestions, type ThreadSettings } from './study-services.js';

/** Days that are read ahead, and how often what has changed of them is. */
const readAhead_days = 365;
const readAgain_ms = 600_000;

const { databaseUrl, memory_bytes } = workerData as ThreadSettings;
const database = new Database(createPool(databaseUrl, { max: 4, applicationName: 'coldrounds study' }));
const fleet = new FleetService(new FleetRepository(database));
const days = new KeptFigures(new DailyFiguresRepository(database), memory_bytes);
const port = parentPort!;

const reading = new WakeableLoop(
  async () => {
    await fleet.fleet();
    // Half of the time is left to others.
    await days.readAhead(readAhead_days, Date.now() / 1000, async (took_ms) => {
      await setTimeout(took_ms);
      return !reading.stopped;
    });
  },
  readAgain_ms,
  // Questions read for themselves what was not read ahead, and say why they cannot.
  () => {},
);

answerCalls(port, createQuestions({ fleet, study: new StudyRepository(database), days }), () => {
  port.close();
  // What is still being worked out is answered to nobody.
  void reading
    .stop()
    .then(() => database.close())
    .finally(() => process.exit());
});
reading.start();
reading.wake();
