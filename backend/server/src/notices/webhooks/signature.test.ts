import { Webhook } from 'standardwebhooks';
import { describe, expect, it } from 'vitest';
import { newWebhookSecret, signedHeaders } from './signature.js';

const body = JSON.stringify({ type: 'test', data: { name: 'Halle Süd' } });
const now_s = () => Math.floor(Date.now() / 1000);

// The verifier is the specification's own library, so that what we sign is checked by code that is not ours.
describe('the signature of a webhook', () => {
  it('is accepted by the reference library of Standard Webhooks', () => {
    const secret = newWebhookSecret();
    const headers = signedHeaders(secret, 'coldrounds-7', now_s(), body);
    expect(new Webhook(secret).verify(body, { ...headers })).toEqual(JSON.parse(body));
  });

  it('covers body, time and number, and is worth nothing with another secret', () => {
    const secret = newWebhookSecret();
    const headers = { ...signedHeaders(secret, 'coldrounds-7', now_s(), body) };
    const verify =
      (changed: Partial<typeof headers>, text = body, by = secret) =>
      () =>
        new Webhook(by).verify(text, { ...headers, ...changed });
    expect(verify({})).not.toThrow();
    expect(verify({}, body.replace('test', 'tess'))).toThrow();
    expect(verify({ 'webhook-timestamp': String(now_s() - 1) })).toThrow();
    expect(verify({ 'webhook-id': 'coldrounds-8' })).toThrow();
    expect(verify({}, body, newWebhookSecret())).toThrow();
  });

  it('is refused when it is sent again later', () => {
    const secret = newWebhookSecret();
    const headers = signedHeaders(secret, 'coldrounds-7', now_s() - 3600, body);
    expect(() => new Webhook(secret).verify(body, { ...headers })).toThrow(/old/i);
  });
});
