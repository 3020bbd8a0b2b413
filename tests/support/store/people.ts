import type { PersonRole } from '../../../backend/server/src/people/roles.js';
import { hashOf, newSecret } from '../../../backend/server/src/people/sign-in/secrets.js';
import type { Database } from '../../../backend/server/src/storage/index.js';
import { PersonRepository } from '../../../backend/server/src/storage/people/person.repository.js';
import { SessionRepository } from '../../../backend/server/src/storage/people/session.repository.js';

let made = 0;

export interface TestPerson {
  id: number;
  /** Headers of a browser in which the person is signed in, by a session of its own each time. */
  headers: () => Promise<Record<string, string>>;
}

/** Somebody with an account, made straight in the store. `sites`: keys of the only ones that may be seen. */
export async function addPerson(
  database: Database,
  role: PersonRole,
  sites: string[] | null = null,
): Promise<TestPerson> {
  const people = new PersonRepository(database);
  const sessions = new SessionRepository(database);
  made++;
  const id = await people.add({
    name: `Test ${role} ${made}`,
    email: `${role}-${made}@example.org`,
    role,
    siteIds: sites === null ? null : (await people.siteIds(sites)).map((site) => site.id),
    passwordHash: null,
  });
  return {
    id,
    headers: async () => {
      const secret = newSecret();
      await sessions.start(hashOf(secret), id, { idle_s: 3600, longest_s: 3600 });
      return { cookie: `coldrounds-session=${secret}` };
    },
  };
}

/** An open finding on a unit, made straight in the store; its number. */
export async function addFinding(
  database: Database,
  unitId: number,
  given: { condition?: string; urgency?: string; causes?: string[] } = {},
): Promise<string> {
  const { condition = 'hunting', urgency = 'this-week', causes = ['loop-tuned-too-hard'] } = given;
  const now_s = Math.floor(Date.now() / 1000);
  const document = {
    condition,
    subject: { kind: 'circuit', circuit: 1 },
    headline: { text: 'Superheat swings.', quantities: {} },
    reasons: [],
    explanations: causes.map((cause, n) => ({
      ...{ cause, weight: n === 0 ? 0.7 : 0.3 / (causes.length - 1) },
      ...{ supports: [], contradicts: [] },
    })),
    separatingCheck: null,
    certainty: 'likely',
    urgency,
    waiting: { score: 20, sentence: { text: 'Waiting wears the valve.', quantities: {} } },
    visit: [],
    hazards: ['pressure'],
    firstSeen_s: now_s - 86_400,
    lastSeen_s: now_s,
  };
  const { rows } = await database.query<{ id: string }>(
    `with made as (
       insert into finding (unit_id, subject_key, condition, urgency, certainty, waiting, document, source, opened_at)
       values ($1, 'circuit/1', $2, $3, 'likely', 20, $4, 'test', now() - interval '1 day') returning *),
     noted as (
       insert into finding_change (finding_id, changed_at, urgency, certainty, waiting, document)
       select id, opened_at, urgency, certainty, waiting, document from made)
     select id from made`,
    [unitId, condition, urgency, JSON.stringify(document)],
  );
  return String(rows[0].id);
}
