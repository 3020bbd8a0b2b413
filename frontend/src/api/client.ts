import createClient from 'openapi-fetch';
import { fetchOrBegun } from './begun.js';
import type { components, paths } from './schema.js';

type Problem = components['schemas']['Problem'];

/** The server of the page itself; every answer that is not data becomes an error with words for a person. */
export const client = createClient<paths>({ baseUrl: '', fetch: fetchOrBegun });

export class ReadError extends Error {
  override name = 'ReadError';
  constructor(
    message: string,
    readonly status: number | null,
    /** Names of what the server says is wrong or missing. */
    readonly fields: readonly string[] = [],
  ) {
    super(message);
  }
}

interface Answer<T> {
  data?: T;
  error?: unknown;
  response: Response;
}

/** The data of an answer, or an error that says what the server said. */
export async function read<T>(pending: Promise<Answer<T>>): Promise<T> {
  let answer: Answer<T>;
  try {
    answer = await pending;
  } catch {
    throw new ReadError(
      'The server does not answer. Is it running, and is this device on its network?',
      null,
    );
  }
  if (answer.data !== undefined && answer.response.ok) return answer.data;
  const problem = answer.error as Partial<Problem> | undefined;
  throw new ReadError(
    problem?.detail ?? problem?.title ?? `The server answered ${answer.response.status}.`,
    answer.response.status,
    problem?.errors?.map(({ name }) => name),
  );
}
