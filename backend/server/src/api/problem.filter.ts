import {
  Catch,
  HttpException,
  NotFoundException,
  type ArgumentsHost,
  type ExceptionFilter,
} from '@nestjs/common';
import type { Response } from 'express';
import type { IdentifiedRequest } from './access/allows.js';
import { STATUS_CODES } from 'node:http';
import type { Logger } from 'pino';
import type { z } from 'zod';
import { BadEntryError, ChangedMeanwhileError } from '../people/bad-entry.js';
import {
  NotAllowedError,
  NotSignedInError,
  SecondFactorAskedError,
  TooManyAttemptsError,
  TooManyRequestsError,
} from '../people/identity.js';
import { NotKnownError } from '../registry/fleet.service.js';
import { NotAskedAnyMoreError } from '../study/thread/while-asked.js';
import { BadCursorError } from '../pages/round/cursor.js';
import { BadParameterError, MethodNotAllowedError, NotReadyError, OutsideSitesError } from './errors.js';
import type { problemSchema } from './schemas/index.js';

type Problem = z.output<typeof problemSchema>;

const unreachable = new Set([
  'ECONNREFUSED',
  'ECONNRESET',
  'ENOTFOUND',
  'ETIMEDOUT',
  '57P01', // the database is being shut down
  '57P02',
  '57P03', // the database is starting
  '08006',
  '08001',
]);

function isDatabaseAway(error: unknown): boolean {
  if (!(error instanceof Error)) return false;
  const { code, errors } = error as { code?: string; errors?: unknown[] };
  if (code !== undefined && unreachable.has(code)) return true;
  if (errors?.some(isDatabaseAway)) return true;
  return /Connection terminated|timeout exceeded when trying to connect/.test(error.message);
}

/** What Express says of a body that is too large or not what it claims to be. */
const isUnreadableBody = (error: unknown): error is Error & { status: number } =>
  error instanceof Error &&
  'expose' in error &&
  'status' in error &&
  typeof error.status === 'number' &&
  error.status >= 400 &&
  error.status < 500;

/** What Nest says of a path that no controller has. */
const isNoRoute = (error: unknown): boolean =>
  error instanceof NotFoundException && /^Cannot [A-Z]+ /.test(error.message);

/** Which status and words an error of the services becomes. What is not known becomes 500 and says nothing of its inside. */
export function problemOf(error: unknown): Problem {
  const of = (status: number, detail: string, errors?: Problem['errors']): Problem => ({
    type: 'about:blank',
    title: STATUS_CODES[status] ?? 'Error',
    status,
    detail,
    errors,
  });
  if (error instanceof BadParameterError) return of(400, error.message, error.errors);
  if (error instanceof BadEntryError) return of(400, error.message, error.errors);
  if (error instanceof SecondFactorAskedError)
    return of(401, error.message, [{ name: 'code', reason: 'is asked for' }]);
  if (error instanceof NotSignedInError) return of(401, error.message);
  if (error instanceof NotAllowedError) return of(403, error.message);
  if (error instanceof ChangedMeanwhileError) return of(409, error.message);
  if (error instanceof TooManyAttemptsError || error instanceof TooManyRequestsError)
    return of(429, error.message);
  if (error instanceof BadCursorError) return of(400, error.message);
  if (error instanceof NotKnownError) return of(404, error.message);
  if (error instanceof MethodNotAllowedError) return of(405, error.message);
  if (error instanceof NotReadyError) return of(503, error.message);
  if (isNoRoute(error)) return of(404, 'There is nothing at this address.');
  if (error instanceof HttpException) return of(error.getStatus(), error.message);
  if (isUnreadableBody(error)) return of(error.status, 'The body of this request cannot be read.');
  if (isDatabaseAway(error)) return of(503, 'The database is not answering at the moment.');
  return of(500, 'The server could not answer this request. Its log has the error.');
}

/** What is noted of a request that was not answered as it asked, without what it held. */
function refusalOf(error: unknown, status: number): string | null {
  if (error instanceof NotAllowedError) return 'a request was refused';
  if (error instanceof OutsideSitesError)
    return 'a request was for what lies outside the sites of its person';
  if (error instanceof TooManyRequestsError) return 'a person made too many requests';
  return status === 400 || status === 413 ? 'a request could not be used' : null;
}

/** Every error as problem details, RFC 9457. */
@Catch()
export class ProblemFilter implements ExceptionFilter {
  constructor(private readonly logger: Logger) {}

  catch(error: unknown, host: ArgumentsHost): void {
    const response = host.switchToHttp().getResponse<Response>();
    if (error instanceof NotAskedAnyMoreError) return void response.destroy();
    const problem = problemOf(error);
    const said = refusalOf(error, problem.status);
    if (said !== null) {
      const { method, path, identity } = host.switchToHttp().getRequest<IdentifiedRequest>();
      this.logger.warn({ method, path, person: identity?.personId ?? null }, said);
    }
    if (problem.status >= 500 && !(error instanceof NotReadyError))
      this.logger.error({ err: error }, 'a request failed');
    if (response.headersSent) {
      response.destroy();
      return;
    }
    if (problem.status === 503) response.setHeader('Retry-After', '2');
    if (error instanceof TooManyAttemptsError || error instanceof TooManyRequestsError)
      response.setHeader('Retry-After', String(Math.max(1, Math.ceil(error.wait_s))));
    if (problem.status === 401) response.setHeader('WWW-Authenticate', 'Bearer realm="Coldrounds"');
    response.status(problem.status).type('application/problem+json').send(JSON.stringify(problem));
  }
}
