import { randomBytes } from 'node:crypto';
import { Secret, TOTP } from 'otpauth';

/** What every authenticator program takes: HMAC-SHA-1, 6 digits, 30 s (RFC 6238, 1.2 and 5.2; RFC 4226, 5.3). */
const settings = { algorithm: 'SHA1', digits: 6, period: 30 } as const;
const period_ms = settings.period * 1000;

/** Steps that a clock may be off, either way: RFC 6238, 5.2 recommends one at most for the delay of the network. */
const tolerance = 1;

/** 160 bits, the length that RFC 4226, 4 (R6) recommends. */
export const newTotpSecret = (): Buffer => randomBytes(20);

const secretOf = (secret: Buffer): Secret =>
  new Secret({ buffer: new Uint8Array(secret).buffer as ArrayBuffer });

const totpOf = (secret: Buffer, label = ''): TOTP =>
  new TOTP({ ...settings, issuer: 'Coldrounds', label, secret: secretOf(secret) });

/** The secret as a person types it into an authenticator (base32), and as the address that its QR code holds. */
export function enrolment(secret: Buffer, account: string): { secret: string; address: string } {
  return { secret: secretOf(secret).base32, address: totpOf(secret, account).toString() };
}

/**
 * The time step that a code belongs to (whole periods of 30 s since 1970), within one step of now; null: it is none of them.
 *
 * @param code 6 digits
 */
export function stepOfCode(secret: Buffer, code: string, now_ms: number): number | null {
  const delta = totpOf(secret).validate({ token: code, timestamp: now_ms, window: tolerance });
  return delta === null ? null : Math.floor(now_ms / period_ms) + delta;
}
