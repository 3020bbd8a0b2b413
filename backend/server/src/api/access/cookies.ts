import { parse } from 'cookie';
import type { Request, Response } from 'express';
import { sessionLimits } from '../../people/access.service.js';
import type { StartedSession } from '../../people/sign-in/sign-in.service.js';
import type { Place } from './at-this-machine.js';

/**
 * Over HTTPS the names begin with `__Host-`, which browsers take only with `Secure`, for the whole host and from that
 * host itself. On loopback, without HTTPS, they are plain: not every browser keeps a secure cookie there.
 */
const names = (secure: boolean) =>
  secure
    ? {
        session: '__Host-coldrounds-session',
        device: '__Host-coldrounds-device',
        openId: '__Host-coldrounds-openid',
      }
    : { session: 'coldrounds-session', device: 'coldrounds-device', openId: 'coldrounds-openid' };

/** Secure unless only this machine can reach the server, or it is said to be reached by plain HTTP. */
export const usesSecureCookies = ({ loopback, publicUrl }: Place): boolean =>
  publicUrl === undefined ? !loopback : publicUrl.startsWith('https:');

const year_s = 365 * 86_400;

const read = (request: Request, which: 'session' | 'device' | 'openId'): string | undefined => {
  const cookies = parse(request.headers.cookie ?? '');
  return cookies[names(true)[which]] ?? cookies[names(false)[which]];
};

export const sessionOf = (request: Request): string | undefined => read(request, 'session');
export const deviceOf = (request: Request): string | undefined => read(request, 'device');

export const openIdAttemptOf = (request: Request): string | undefined => read(request, 'openId');

/** Sent along when the provider sends the browser back, which is another site: so not `strict`. */
const openIdCookie = (secure: boolean) => ({ httpOnly: true, sameSite: 'lax', secure, path: '/' }) as const;

export function setOpenIdAttempt(response: Response, place: Place, secret: string): void {
  const secure = usesSecureCookies(place);
  response.cookie(names(secure).openId, secret, { ...openIdCookie(secure), maxAge: 600_000 });
}

export function clearOpenIdAttempt(response: Response, place: Place): void {
  const secure = usesSecureCookies(place);
  response.clearCookie(names(secure).openId, openIdCookie(secure));
}

export function setSession(response: Response, place: Place, { session, device }: StartedSession): void {
  const secure = usesSecureCookies(place);
  const own = { httpOnly: true, sameSite: 'strict', secure, path: '/' } as const;
  response.cookie(names(secure).session, session, { ...own, maxAge: sessionLimits.longest_s * 1000 });
  if (device !== null) response.cookie(names(secure).device, device, { ...own, maxAge: year_s * 1000 });
}

export function clearSession(response: Response): void {
  for (const secure of [true, false])
    response.clearCookie(names(secure).session, { httpOnly: true, sameSite: 'strict', secure, path: '/' });
}
