/** The thread in which questions of the fleet are worked out: a small process of its own within the server's. */
import { parentPort, workerData } from 'node:worker_threads';
import { FleetService } from '../registry/fleet.service.js';
import { createPool, Database } from '../storage/index.js';
import { FleetRepository } from '../storage/repositories/fleet.repository.js';
import { DailyFiguresRepository } from '../storage/repositories/results/daily-figures.repository.js';
import { StudyRepository } from '../storage/repositories/study.repository.js';
import { answerCalls } from '../study/thread/answer-calls.js';
import { createQuestions, type ThreadSettings } from './study-services.js';

const { databaseUrl } = workerData as ThreadSettings;
const database = new Database(createPool(databaseUrl, { max: 4, applicationName: 'coldrounds study' }));
const questions = createQuestions({
  fleet: new FleetService(new FleetRepository(database)),
  study: new StudyRepository(database),
  days: new DailyFiguresRepository(database),
});
const port = parentPort!;
answerCalls(port, questions, () => {
  port.close();
  // What is still being worked out is answered to nobody.
  void database.close().finally(() => process.exit());
});
