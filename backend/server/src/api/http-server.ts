import 'reflect-metadata';
import { Module, type DynamicModule, type Provider } from '@nestjs/common';
import { NestFactory, Reflector } from '@nestjs/core';
import type { NestExpressApplication } from '@nestjs/platform-express';
import compression from 'compression';
import type { NextFunction, Request, Response } from 'express';
import { existsSync } from 'node:fs';
import { constants } from 'node:zlib';
import type { Logger } from 'pino';
import { MetricsService } from '../live/metrics.service.js';
import { AccessService } from '../people/access.service.js';
import { AccessGuard } from './access/access.guard.js';
import { Place } from './access/at-this-machine.js';
import { RequestLimits } from './access/request-limits.js';
import { onlyAllowedMethods } from './allowed-methods.js';
import { controllers } from './controllers/index.js';
import { NotReadyError } from './errors.js';
import { inlineScriptSources, serveFrontend } from './frontend-files.js';
import { openApiDocument } from './openapi.js';
import { ProblemFilter, problemOf } from './problem.filter.js';

@Module({})
class HttpModule {
  static with(providers: Provider[]): DynamicModule {
    return { module: HttpModule, controllers, providers };
  }
}

export interface HttpOptions {
  host: string;
  port: number;
  providers: Provider[];
  logger: Logger;
  /** Folder of the built frontend; left out: only the interface is served. */
  staticDir?: string;
  /** Proxies whose word on the sender's address is taken, as Express reads them. */
  trustedProxies?: string;
  /** False until the store can be used; until then only the health is answered. */
  isReady: () => boolean;
}

/** For pages and their files; `scripts`: sources of those in the page itself. */
const pageHeaders = (scripts: readonly string[]): Record<string, string> => ({
  'Content-Security-Policy': `default-src 'self'; script-src ${["'self'", ...scripts].join(' ')}; img-src 'self' data: blob:; style-src 'self' 'unsafe-inline'; object-src 'none'; frame-ancestors 'none'; base-uri 'none'; form-action 'self'`,
  'X-Content-Type-Options': 'nosniff',
  'X-Frame-Options': 'DENY',
  'Referrer-Policy': 'same-origin',
  'Cross-Origin-Opener-Policy': 'same-origin',
  'Permissions-Policy': 'camera=(), geolocation=(), microphone=(), payment=(), usb=()',
});

/** For data, which is no document and loads nothing: as OWASP's cheat sheet on REST has them. */
const dataHeaders: Record<string, string> = {
  'Content-Security-Policy': "default-src 'none'; object-src 'none'; base-uri 'none'; frame-ancestors 'none'",
  'X-Content-Type-Options': 'nosniff',
  'Referrer-Policy': 'same-origin',
};

/** A year, as RFC 6797 and OWASP have it: a browser that was here once never asks by plain HTTP again. */
const strictTransport = 'max-age=31536000; includeSubDomains';

const secure =
  (forPages: Record<string, string>, overHttps: boolean) =>
  (request: Request, response: Response, next: NextFunction): void => {
    const isData = request.path.startsWith('/api/') || request.path === '/metrics';
    for (const [name, value] of Object.entries(isData ? dataHeaders : forPages))
      response.setHeader(name, value);
    if (overHttps) response.setHeader('Strict-Transport-Security', strictTransport);
    next();
  };

function sendProblem(response: Response, error: unknown): void {
  const problem = problemOf(error);
  if (problem.status === 503) response.setHeader('Retry-After', '2');
  response.status(problem.status).type('application/problem+json').send(JSON.stringify(problem));
}

/** Brotli at quality 4: at its highest it takes longer than the answer it compresses. */
const compressed = compression({
  threshold: 1024,
  brotli: { params: { [constants.BROTLI_PARAM_QUALITY]: 4 } },
  // Events are sent as they come, one by one.
  filter: (request, response) =>
    !String(response.getHeader('Content-Type')).startsWith('text/event-stream') &&
    compression.filter(request, response),
});

/** How long answers that are under way may take once the server stops. */
const patience_ms = 3_000;

/** Takes no new requests and ends when those under way are answered, or their time is over. */
export async function stopHttpServer(app: NestExpressApplication): Promise<void> {
  const server = app.getHttpServer();
  const timer = setTimeout(() => server.closeAllConnections(), patience_ms);
  const closing = app.close();
  server.closeIdleConnections();
  await closing.finally(() => clearTimeout(timer));
}

/** Starts to answer at once; what needs the store answers 503 until `isReady`. */
export async function startHttpServer(options: HttpOptions): Promise<NestExpressApplication> {
  const app = await NestFactory.create<NestExpressApplication>(HttpModule.with(options.providers), {
    logger: false,
    abortOnError: false,
  });
  app.disable('x-powered-by');
  app.set('query parser', 'simple');
  app.set('trust proxy', options.trustedProxies ?? false);
  app.useGlobalGuards(
    new AccessGuard(app.get(Reflector), app.get(AccessService), app.get(Place), new RequestLimits()),
  );
  app.useGlobalFilters(new ProblemFilter(options.logger));
  // Spreadsheets of a fleet.
  app.useBodyParser('raw', { type: 'application/octet-stream', limit: '25mb' });
  const metrics = app.get(MetricsService);
  app.use((request: Request, response: Response, next: NextFunction) => {
    response.once('finish', () => metrics.answered(request.method, response.statusCode));
    next();
  });
  const overHttps = app.get(Place).publicUrl?.startsWith('https:') ?? false;
  app.use(secure(pageHeaders(inlineScriptSources(options.staticDir)), overHttps));
  app.use(compressed);

  const api = await openApiDocument();
  const document = JSON.stringify(api);
  app.use('/api', (request: Request, response: Response, next: NextFunction) => {
    // Answers may be kept, but are asked for again each time: what has not changed is answered by 304.
    // What one person was sent is not for the next at the same browser.
    response.setHeader('Cache-Control', 'private, no-cache');
    response.setHeader('Vary', 'Cookie, Authorization');
    if (request.path === '/openapi.json') response.type('application/json').send(document);
    // A stream of events has no length to tell of, and no end.
    else if (request.path === '/events' && request.method === 'HEAD')
      response.type('text/event-stream').end();
    else if (request.path === '/health' || options.isReady()) next();
    else sendProblem(response, new NotReadyError('The server is starting; the database is not ready yet.'));
  });

  app.use(onlyAllowedMethods(api.paths, sendProblem));

  if (options.staticDir !== undefined && existsSync(options.staticDir)) serveFrontend(app, options.staticDir);
  await app.listen(options.port, options.host);
  return app;
}
