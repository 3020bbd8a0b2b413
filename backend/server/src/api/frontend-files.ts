import type { NestExpressApplication } from '@nestjs/platform-express';
import type { NextFunction, Request, Response } from 'express';
import { createHash } from 'node:crypto';
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import sirv from 'sirv';

/**
 * The built frontend: files with a hash in their name for a year, all else to be asked for again; compressed copies
 * where the build made them. Any other page address gets the one page, which finds its way by itself.
 */
export function serveFrontend(app: NestExpressApplication, folder: string): void {
  const page = join(folder, 'index.html');
  const policy = pagePolicy(readFileSync(page, 'utf8'));
  app.use((request: Request, response: Response, next: NextFunction) => {
    if (!request.path.startsWith('/api')) response.setHeader('Content-Security-Policy', policy);
    next();
  });
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
  app.use((request: Request, response: Response, next: NextFunction) => {
    const isData = request.path.startsWith('/api') || request.path === '/metrics';
    const wantsPage = ['GET', 'HEAD'].includes(request.method) && !isData;
    const isFile = /\.[a-z0-9]+$/i.test(request.path);
    if (!wantsPage || isFile) return next();
    response.setHeader('Cache-Control', 'no-cache');
    response.sendFile(page, { dotfiles: 'allow' });
  });
}

/** What a page may load: its own files, and of scripts in the page only those that the build put there. */
function pagePolicy(html: string): string {
  const scripts = [...html.matchAll(/<script>([\s\S]*?)<\/script>/g)].map(
    ([, text]) => `'sha256-${createHash('sha256').update(text).digest('base64')}'`,
  );
  return `${policyOfPages}; script-src 'self' ${scripts.join(' ')}`.trimEnd();
}

export const policyOfPages =
  "default-src 'self'; img-src 'self' data: blob:; style-src 'self' 'unsafe-inline'; object-src 'none'; frame-ancestors 'none'; base-uri 'none'; form-action 'self'";
