import type { Request } from 'express';
import { NotAllowedError } from '../../people/identity.js';
import type { Place } from './at-this-machine.js';

/**
 * Protection against requests that another site's page makes a browser send (cross-site request forgery). Every
 * current browser says where such a request comes from, by `Sec-Fetch-Site` (W3C Fetch Metadata) or `Origin`
 * (RFC 6454): it has to be our own page. A request with neither comes from no browser, and so carries no cookies that
 * its sender does not hold anyway.
 */
export function requireOwnOrigin(request: Request, place: Place): void {
  const { origin, host } = request.headers;
  const site = request.headers['sec-fetch-site'];
  if (site !== undefined) {
    if (site === 'same-origin' || site === 'none') return;
  } else if (origin === undefined || hostOf(origin) === host) return;
  if (origin !== undefined && place.publicUrl !== undefined && origin === new URL(place.publicUrl).origin)
    return;
  throw new NotAllowedError('This request does not come from a page of this server.');
}

function hostOf(origin: string): string | null {
  try {
    return new URL(origin).host;
  } catch {
    return null;
  }
}
