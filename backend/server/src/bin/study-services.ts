import type { Provider } from '@nestjs/common';
import { Worker } from 'node:worker_threads';
import { AskService, type AskParts } from '../study/ask/ask.service.js';
import { SavedQuestionService } from '../study/ask/saved-questions.service.js';
import { ChangeEffectService } from '../study/fair/change-effect.service.js';
import { ComparisonService } from '../study/fair/comparison.service.js';
import { PlaceService } from '../study/fair/place.service.js';
import { SurvivalService } from '../study/fair/survival.service.js';
import { WearService } from '../study/fair/wear.service.js';
import { StudyService } from '../study/study.service.js';
import type { Logger } from 'pino';
import type { Config } from '../config/index.js';
import { StudyThread } from '../study/thread/study-thread.js';

/** What the thread is started with. */
export interface ThreadSettings {
  databaseUrl: string;
}

/** Makes the thread's process, to which the settings are given as its data. */
export type StartThread = (settings: ThreadSettings) => Worker;

/** As it is built; where the program runs from its sources, as in tests, there is none and this thread answers. */
export const builtThread: StartThread | null = import.meta.url.endsWith('.js')
  ? (workerData) =>
      // Options of the process, such as a module to begin with, are not the thread's.
      new Worker(new URL('./study-thread.js', import.meta.url), { workerData, execArgv: [] })
  : null;

/** The thread that answers questions of the fleet, in a process that answers pages; it starts when it is told to, or with the first question. */
export function createStudyThread(
  config: Config,
  start: StartThread | null,
  logger: Logger,
): StudyThread | null {
  if (start === null || !config.roles.includes('api')) return null;
  return new StudyThread({
    start: () => start({ databaseUrl: config.databaseUrl }),
    failed: (error) => logger.error({ err: error }, 'the thread that answers questions of the fleet failed'),
  });
}

/** What answers questions that read the whole fleet. */
export function createQuestions(parts: AskParts) {
  const asking = new AskService(parts);
  return {
    asking,
    comparisons: new ComparisonService(asking),
    changes: new ChangeEffectService({ ...parts, asking }),
    survivals: new SurvivalService(parts),
    wears: new WearService(parts),
    places: new PlaceService(parts),
  };
}

/** The same, answered by a thread of its own. */
const questionsOf = (thread: StudyThread) => ({
  asking: thread.service<AskService, 'ask' | 'asked' | 'table'>('asking', ['ask', 'asked', 'table']),
  comparisons: thread.service<ComparisonService, 'compare'>('comparisons', ['compare']),
  changes: thread.service<ChangeEffectService, 'effect'>('changes', ['effect']),
  survivals: thread.service<SurvivalService, 'survival'>('survivals', ['survival']),
  wears: thread.service<WearService, 'wear' | 'table'>('wears', ['wear', 'table']),
  places: thread.service<PlaceService, 'places'>('places', ['places']),
});

/** What the field study answers with. */
export function createStudyPages(
  parts: AskParts,
  studies: StudyService,
  thread: StudyThread | null,
): Provider[] {
  const questions = thread === null ? createQuestions(parts) : questionsOf(thread);
  return [
    { provide: StudyService, useValue: studies },
    { provide: AskService, useValue: questions.asking },
    { provide: SavedQuestionService, useValue: new SavedQuestionService(parts.study) },
    { provide: ComparisonService, useValue: questions.comparisons },
    { provide: ChangeEffectService, useValue: questions.changes },
    { provide: SurvivalService, useValue: questions.survivals },
    { provide: WearService, useValue: questions.wears },
    { provide: PlaceService, useValue: questions.places },
  ];
}
