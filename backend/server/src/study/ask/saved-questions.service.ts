import { NotAllowedError, type Identity } from '../../people/identity.js';
import { iso } from '../../pages/references.js';
import { NotKnownError } from '../../registry/fleet.service.js';
import type { StudyRepository } from '../../storage/repositories/study.repository.js';

/** Questions with a name, shown to everyone who may see the sites that they name. */
export class SavedQuestionService {
  constructor(private readonly repository: StudyRepository) {}

  async list({ sites, personId }: Identity) {
    const saved = await this.repository.savedQuestions();
    return saved
      .filter((each) => sites === null || each.sites.every((site) => sites.includes(site)))
      .map(({ id, name, question, who, savedAt, personId: by }) => ({
        id,
        name,
        question,
        who,
        savedAt: iso(savedAt.getTime() / 1000),
        own: by !== null && by === personId,
      }));
  }

  save(name: string, question: string, sites: string[], by: Identity): Promise<number> {
    return this.repository.saveQuestion({ name, question, sites, personId: by.personId, who: by.name });
  }

  /** By whoever saved it, or an administrator. */
  async forget(id: number, by: Identity): Promise<void> {
    const saved = (await this.repository.savedQuestions()).find((each) => each.id === id);
    if (saved === undefined || (by.sites !== null && !saved.sites.every((site) => by.sites!.includes(site))))
      throw new NotKnownError(`There is no saved question ${id}.`);
    if (saved.personId !== by.personId && by.role !== 'administrator')
      throw new NotAllowedError('Only whoever saved a question, or an administrator, may remove it.');
    await this.repository.forgetQuestion(id);
  }
}
