import type { Provider } from '@nestjs/common';
import { AskService, type AskParts } from '../study/ask/ask.service.js';
import { SavedQuestionService } from '../study/ask/saved-questions.service.js';
import { ChangeEffectService } from '../study/fair/change-effect.service.js';
import { ComparisonService } from '../study/fair/comparison.service.js';
import { PlaceService } from '../study/fair/place.service.js';
import { SurvivalService } from '../study/fair/survival.service.js';
import { WearService } from '../study/fair/wear.service.js';
import { StudyService } from '../study/study.service.js';

/** What the field study answers with. */
export function createStudyPages(parts: AskParts, studies: StudyService): Provider[] {
  const asking = new AskService(parts);
  return [
    { provide: StudyService, useValue: studies },
    { provide: AskService, useValue: asking },
    { provide: SavedQuestionService, useValue: new SavedQuestionService(parts.study) },
    { provide: ComparisonService, useValue: new ComparisonService(asking) },
    { provide: ChangeEffectService, useValue: new ChangeEffectService({ ...parts, asking }) },
    { provide: SurvivalService, useValue: new SurvivalService(parts) },
    { provide: WearService, useValue: new WearService(parts) },
    { provide: PlaceService, useValue: new PlaceService(parts) },
  ];
}
