import { pbkdf2, randomBytes, timingSafeEqual } from 'node:crypto';
import { promisify } from 'node:util';

/** Letters and digits that are not taken for each other when they are typed by hand: 32, so 5 bits each. */
const alphabet = 'abcdefghijkmnpqrstuvwxyz23456789';

/** A password of 140 bits, in four groups as `k7mq2xt-...`, as some gateways have no way to paste. */
export function newGatewayPassword(random: (bytes: number) => Buffer = randomBytes): string {
  const letters = [...random(28)].map((byte) => alphabet[byte & 31]).join('');
  return letters.match(/.{7}/g)!.join('-');
}

/** As Mosquitto takes for granted; the password has 140 bits of its own, so that more would protect nothing. */
const iterations = 101;
const hash_bytes = 64;
const derive = promisify(pbkdf2);

/**
 * The hash of a password as Mosquitto's password file has it: PBKDF2 (RFC 8018) with HMAC-SHA-512, written as
 * `$7$iterations$salt$hash` in Base64.
 */
export async function hashOfPassword(password: string, salt = randomBytes(12)): Promise<string> {
  const hash = await derive(password, salt, iterations, hash_bytes, 'sha512');
  return `$7$${iterations}$${salt.toString('base64')}$${hash.toString('base64')}`;
}

const form = /^\$7\$([1-9]\d{0,6})\$([A-Za-z0-9+/]+=*)\$([A-Za-z0-9+/]+=*)$/;

/** Whether `password` belongs to a hash of that form; a hash of another form belongs to none. */
export async function isPassword(password: string | Buffer, hash: string): Promise<boolean> {
  const [, rounds, salt, expected] = form.exec(hash) ?? [];
  if (expected === undefined) return false;
  const wanted = Buffer.from(expected, 'base64');
  if (wanted.length !== hash_bytes) return false;
  const found = await derive(password, Buffer.from(salt, 'base64'), Number(rounds), hash_bytes, 'sha512');
  return timingSafeEqual(found, wanted);
}
