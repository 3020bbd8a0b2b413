import 'reflect-metadata';
import { Module, type DynamicModule, type Provider } from '@nestjs/common';
import { NestFactory } from '@nestjs/core';
import type { NestExpressApplication } from '@nestjs/platform-express';
import type { NextFunction, Request, Response } from 'express';
import { existsSync } from 'node:fs';
import { join } from 'node:path';
import type { Logger } from 'pino';
import { controllers } from './controllers/index.js';
import { NotReadyError } from './errors.js';
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
  /** False until the store can be used; until then only the health is answered. */
  isReady: () => boolean;
}

const headers: Record<string, string> = {
  'Content-Security-Policy':
    "default-src 'self'; img-src 'self' data: blob:; style-src 'self' 'unsafe-inline'; frame-ancestors 'none'; base-uri 'self'; form-action 'self'",
  'X-Content-Type-Options': 'nosniff',
  'X-Frame-Options': 'DENY',
  'Referrer-Policy': 'same-origin',
  'Cross-Origin-Opener-Policy': 'same-origin',
};

function secure(_request: Request, response: Response, next: NextFunction): void {
  for (const [name, value] of Object.entries(headers)) response.setHeader(name, value);
  next();
}

function sendProblem(response: Response, error: unknown): void {
  const problem = problemOf(error);
  if (problem.status === 503) response.setHeader('Retry-After', '2');
  response.status(problem.status).type('application/problem+json').send(JSON.stringify(problem));
}

/** Starts to answer at once; what needs the store answers 503 until `isReady`. */
export async function startHttpServer(options: HttpOptions): Promise<NestExpressApplication> {
  const app = await NestFactory.create<NestExpressApplication>(HttpModule.with(options.providers), {
    logger: false,
    abortOnError: false,
  });
  app.disable('x-powered-by');
  app.set('query parser', 'simple');
  app.useGlobalFilters(new ProblemFilter(options.logger));
  app.use(secure);

  const document = JSON.stringify(await openApiDocument());
  app.use('/api', (request: Request, response: Response, next: NextFunction) => {
    response.setHeader('Cache-Control', 'no-store');
    if (request.path === '/openapi.json') response.type('application/json').send(document);
    else if (request.path === '/health' || options.isReady()) next();
    else sendProblem(response, new NotReadyError('The server is starting; the database is not ready yet.'));
  });

  if (options.staticDir !== undefined && existsSync(options.staticDir)) serveFrontend(app, options.staticDir);
  await app.listen(options.port, options.host);
  return app;
}

/** Built files as they are; any other page address gets the one page, which finds its way by itself. */
function serveFrontend(app: NestExpressApplication, folder: string): void {
  app.useStaticAssets(folder, {
    index: false,
    setHeaders: (response: Response, path: string) => {
      const isHashed = path.includes(`${join(folder, 'assets')}`);
      response.setHeader('Cache-Control', isHashed ? 'public, max-age=31536000, immutable' : 'no-cache');
    },
  });
  const page = join(folder, 'index.html');
  app.use((request: Request, response: Response, next: NextFunction) => {
    const wantsPage = request.method === 'GET' && !request.path.startsWith('/api');
    const isFile = /\.[a-z0-9]+$/i.test(request.path);
    if (!wantsPage || isFile) return next();
    response.setHeader('Cache-Control', 'no-cache');
    response.sendFile(page, { dotfiles: 'allow' });
  });
}
