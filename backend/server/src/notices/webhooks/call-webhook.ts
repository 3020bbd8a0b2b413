import { lookup as systemLookup } from 'node:dns';
import { request as plainRequest } from 'node:http';
import { request as secureRequest } from 'node:https';
import { isIP, type LookupFunction } from 'node:net';
import { RefusedForGoodError } from '../outbox/back-off.js';
import { isPublicAddress } from './public-address.js';
import { signedHeaders } from './signature.js';

export interface WebhookOptions {
  /** Also addresses that are not of the public internet, and without TLS. */
  allowPrivate: boolean;
  /** The only hosts that may be called; null or left out: any. */
  hosts?: readonly string[] | null;
  timeout_ms?: number;
  lookup?: typeof systemLookup;
  now_s?: () => number;
}

/** What is wrong with an address that a webhook is to call; null: nothing. */
export function objectionToAddress(
  address: string,
  allowPrivate: boolean,
  hosts: readonly string[] | null = null,
): string | null {
  let url: URL;
  try {
    url = new URL(address);
  } catch {
    return 'is not an address';
  }
  if (url.protocol !== 'https:' && !(allowPrivate && url.protocol === 'http:'))
    return allowPrivate ? 'must begin with https:// or http://' : 'must begin with https://';
  if (url.username !== '' || url.password !== '') return 'must not hold a password';
  if (!allowPrivate && isPrivateName(hostOf(url))) return 'must be an address of the public internet';
  if (hosts !== null && !hosts.includes(hostOf(url))) return 'must be at a host of WEBHOOK_HOSTS';
  return null;
}

const hostOf = (url: URL): string => url.hostname.replace(/^\[|\]$/g, '');
const isPrivateName = (host: string): boolean =>
  isIP(host) === 0 ? /(^|\.)(localhost|local|internal)\.?$/i.test(host) : !isPublicAddress(host);

/**
 * Looks a name up and refuses it where any of its addresses is not public. The connection is made to an address that was looked
 * at here, so that a name cannot mean another one a moment later.
 */
function publicOnly(lookup: typeof systemLookup): LookupFunction {
  return (host, options, tell) =>
    lookup(host, { ...options, all: true }, (error, found) => {
      if (error !== null) return tell(error, '');
      if (found.length === 0 || found.some(({ address }) => !isPublicAddress(address)))
        return tell(new RefusedForGoodError('The name of the webhook leads to a private address.'), '');
      if (options.all === true) return tell(null, found);
      tell(null, found[0].address, found[0].family);
    });
}

const longest_ms = 10_000;

/**
 * Posts a signed message. Taken is what is answered by 2xx; a redirect is not followed, and what is answered is not read. 4xx but for
 * 408, 425 and 429 is for good: the same again would be answered the same.
 */
export function callWebhook(
  { address, secret }: { address: string; secret: string },
  { id, body }: { id: string; body: string },
  {
    allowPrivate,
    hosts = null,
    timeout_ms = longest_ms,
    lookup = systemLookup,
    now_s = () => Date.now() / 1000,
  }: WebhookOptions,
): Promise<void> {
  const objection = objectionToAddress(address, allowPrivate, hosts);
  if (objection !== null)
    return Promise.reject(new RefusedForGoodError(`The address of the webhook ${objection}.`));
  const url = new URL(address);
  const send = url.protocol === 'https:' ? secureRequest : plainRequest;
  return new Promise((taken, refused) => {
    const request = send(
      url,
      {
        method: 'POST',
        headers: {
          'content-type': 'application/json',
          'content-length': Buffer.byteLength(body),
          'user-agent': 'Coldrounds',
          ...signedHeaders(secret, id, Math.floor(now_s()), body),
        },
        agent: false,
        lookup: allowPrivate ? undefined : publicOnly(lookup),
        signal: AbortSignal.timeout(timeout_ms),
      },
      (response) => {
        const status = response.statusCode ?? 0;
        response.destroy();
        if (status >= 200 && status < 300) taken();
        else refused(failureOf(status));
      },
    );
    request.on('error', (error) =>
      refused(
        error.name === 'AbortError' || error.name === 'TimeoutError'
          ? new Error(`No answer within ${timeout_ms / 1000} s.`)
          : error,
      ),
    );
    request.end(body);
  });
}

const mayPass = new Set([408, 425, 429]);

function failureOf(status: number): Error {
  const words =
    status >= 300 && status < 400
      ? `The webhook answered ${status}; redirects are not followed.`
      : `The webhook answered ${status}.`;
  return status >= 400 && status < 500 && !mayPass.has(status)
    ? new RefusedForGoodError(words)
    : new Error(words);
}
