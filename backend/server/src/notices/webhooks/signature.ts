import { createHmac, randomBytes } from 'node:crypto';

/**
 * What a webhook's message is signed with, by the open specification Standard Webhooks 1.0 (standardwebhooks.com):
 * HMAC-SHA256 over `{id}.{timestamp}.{body}`, so that neither a body nor the time of it can be changed, and one that
 * was listened to cannot be sent again later. Receivers refuse timestamps that are more than some minutes off.
 */
export interface SignedHeaders {
  'webhook-id': string;
  /** Seconds since the epoch. */
  'webhook-timestamp': string;
  'webhook-signature': string;
}

const prefix = 'whsec_';

/** A new secret of 256 bits, written as the specification writes them. */
export const newWebhookSecret = (): string => `${prefix}${randomBytes(32).toString('base64')}`;

export function signedHeaders(secret: string, id: string, timestamp_s: number, body: string): SignedHeaders {
  const key = Buffer.from(secret.slice(prefix.length), 'base64');
  const signature = createHmac('sha256', key).update(`${id}.${timestamp_s}.${body}`).digest('base64');
  return {
    'webhook-id': id,
    'webhook-timestamp': String(timestamp_s),
    'webhook-signature': `v1,${signature}`,
  };
}
