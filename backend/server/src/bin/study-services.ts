import type { Provider } from '@nestjs/common';
import { Worker } from 'node:worker_threads';
import { AskService, type AskParts } from '../study/ask/ask.service.js';
import { SavedQuestionService } from '../study/ask/saved-questions.service.js';
import { ChangeEffectService } from '../study/fair/change-effect.service.js';
import { ComparisonService } from '../study/fair/comparison.service.js';
import { PlaceService } from '../study/fair/place.service.js';
import { SurvivalService } from '../study/fair/survival.service.js';
import { WearService } from '../study/fair/wear.service.js';
import type { DailyFiguresRepository } from '../storage/repositories/results/daily-figures.repository.js';
import { KeptFigures } from '../study/figures/kept-figures.js';
import { StudyService } from '../study/study.service.js';
import type { Logger } from 'pino';
import type { Config } from '../config/index.js';
import { StudyThread } from '../study/thread/study-thread.js';

/** What the thread is started with. */
export interface ThreadSettings {
  databaseUrl: string;
  /** Daily figures that are kept in memory. */
  memory_bytes: number;
}

/** Makes the thread's process, to which the settings are given as its data. */
export type StartThread = (settings: ThreadSettings) => Worker;

/** As it is built; where the program runs from its sources, as in tests, there is none and this thread answers. */
export const builtThread: StartThread | null = import.meta.url.endsWith('.js')
  ? (workerData) =>
      // Options of the process, such as a module to begin with, are not the thread's.
      new Worker(new URL('./study-thread.js', import.meta.url), { workerData, execArgv: [] })
  : null;

/** Where questions of the fleet are answered: in a thread, or, where there is none, here. */
interface Answering {
  thread: StudyThread | null;
  memory_bytes: number;
}

/** The thread of a process that answers pages; it starts when it is told to, or with the first question. */
export function createStudyThread(config: Config, start: StartThread | null, logger: Logger): Answering {
  const { databaseUrl, studyMemory_bytes: memory_bytes } = config;
  if (start === null || !config.roles.includes('api')) return { thread: null, memory_bytes };
  const thread = new StudyThread({
    start: () => start({ databaseUrl, memory_bytes }),
    failed: (error) => logger.error({ err: error }, 'the thread that answers questions of the fleet failed'),
  });
  return { thread, memory_bytes };
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
  parts: AskParts & { days: DailyFiguresRepository },
  studies: StudyService,
  { thread, memory_bytes }: Answering,
): Provider[] {
  const questions =
    thread === null
      ? createQuestions({ ...parts, days: new KeptFigures(parts.days, memory_bytes) })
      : questionsOf(thread);
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
