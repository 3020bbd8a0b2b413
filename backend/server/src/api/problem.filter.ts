import { Catch, HttpException, type ArgumentsHost, type ExceptionFilter } from '@nestjs/common';
import type { Response } from 'express';
import { STATUS_CODES } from 'node:http';
import type { Logger } from 'pino';
import type { z } from 'zod';
import { NotKnownError } from '../registry/fleet.service.js';
import { BadCursorError } from '../pages/round/cursor.js';
import { BadParameterError, NotReadyError } from './errors.js';
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
  if (error instanceof BadCursorError) return of(400, error.message);
  if (error instanceof NotKnownError) return of(404, error.message);
  if (error instanceof NotReadyError) return of(503, error.message);
  if (error instanceof HttpException) return of(error.getStatus(), error.message);
  if (isDatabaseAway(error)) return of(503, 'The database is not answering at the moment.');
  return of(500, 'The server could not answer this request. Its log has the error.');
}

/** Every error as problem details, RFC 9457. */
@Catch()
export class ProblemFilter implements ExceptionFilter {
  constructor(private readonly logger: Logger) {}

  catch(error: unknown, host: ArgumentsHost): void {
    const response = host.switchToHttp().getResponse<Response>();
    const problem = problemOf(error);
    if (problem.status >= 500 && !(error instanceof NotReadyError))
      this.logger.error({ err: error }, 'a request failed');
    if (response.headersSent) {
      response.destroy();
      return;
    }
    if (problem.status === 503) response.setHeader('Retry-After', '2');
    response.status(problem.status).type('application/problem+json').send(JSON.stringify(problem));
  }
}
