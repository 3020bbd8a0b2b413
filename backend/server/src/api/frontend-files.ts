import type { NestExpressApplication } from '@nestjs/platform-express';
import type { NextFunction, Request, Response } from 'express';
import { createHash } from 'node:crypto';
import { existsSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import sirv from 'sirv';

/** Addresses of pages, as the frontend's router has them (a test compares both). */
export const pagePaths: readonly string[] = [
  '/',
  '/units/$site/$unit',
  '/units/$site/$unit/brief',
  '/portfolio',
  '/plan',
  '/plan/briefs',
  '/sites/$site/report',
  '/changes',
  '/data',
  '/data/$site',
  '/fleet',
  '/study',
  '/unread',
  '/refrigerants',
  '/accuracy',
  '/join',
  '/account',
  '/accounts',
  '/log',
  '/account/notices',
  '/outgoing',
  '/registry',
  '/registry/table',
  '/registry/heard',
  '/registry/$site',
  '/registry/$site/gateways',
  '/registry/$site/new-unit',
  '/registry/$site/units/$unit',
  '/words',
];

const pages = pagePaths.map((path) => new RegExp(`^${path.replaceAll(/\$\w+/g, '[^/]+')}/?$`));

/** Scripts that stand in a page itself and are run; data in script elements is not. */
const inlineScripts = /<script>([^]*?)<\/script>/g;

/** Sources for a Content-Security-Policy (level 3, 2.3.1): the scripts within the one page by their hashes, so that no others run. */
export function inlineScriptSources(folder: string | undefined): string[] {
  const page = folder === undefined ? '' : join(folder, 'index.html');
  if (!existsSync(page)) return [];
  return [...readFileSync(page, 'utf8').matchAll(inlineScripts)].map(
    ([, script]) => `'sha256-${createHash('sha256').update(script).digest('base64')}'`,
  );
}

/**
 * The built frontend: files with a hash in their name for a year, all else to be asked for again; compressed copies
 * where the build made them. Any page's address gets the one page, which finds its way by itself; any other gets it too, to say
 * so, with 404.
 */
export function serveFrontend(app: NestExpressApplication, folder: string): void {
  app.use(
    sirv(folder, {
      brotli: true,
      gzip: true,
      etag: true,
      extensions: [],
      setHeaders: (response, path) =>
        response.setHeader(
          'Cache-Control',
          path.startsWith('/assets/') ? 'public, max-age=31536000, immutable' : 'no-cache',
        ),
    }),
  );
  const page = join(folder, 'index.html');
  app.use((request: Request, response: Response, next: NextFunction) => {
    const isData = request.path.startsWith('/api') || request.path === '/metrics';
    const wantsPage = ['GET', 'HEAD'].includes(request.method) && !isData;
    const isFile = /\.[a-z0-9]+$/i.test(request.path);
    if (!wantsPage || isFile) return next();
    response.setHeader('Cache-Control', 'no-cache');
    if (!pages.some((pattern) => pattern.test(request.path))) response.status(404);
    response.sendFile(page, { dotfiles: 'allow' });
  });
}
