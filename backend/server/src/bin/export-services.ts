import type { Provider } from '@nestjs/common';
import { TakeAwayService } from '../export/take-away.service.js';
import type { ColdReader } from '../storage/cold/cold-reader.js';
import type { Database } from '../storage/index.js';
import { TakenRepository } from '../storage/taking-away/taken.repository.js';
import { ExportService, type ExportParts } from '../study/export.service.js';
import type { StudyService } from '../study/study.service.js';

/** What can be taken away, put together. */
export function createExports(
  database: Database,
  parts: ExportParts & { studies: StudyService },
  cold: ColdReader | null = null,
) {
  const exports = new ExportService(parts);
  const takeAway = new TakeAwayService({ ...parts, taken: new TakenRepository(database, cold) });
  const providers: Provider[] = [
    { provide: ExportService, useValue: exports },
    { provide: TakeAwayService, useValue: takeAway },
  ];
  return { exports, takeAway, providers };
}
