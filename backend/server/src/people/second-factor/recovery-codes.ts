import { randomBytes } from 'node:crypto';
import { hashOf } from '../sign-in/secrets.js';

const codes = 10;
/** Five bits each, without letters that are taken for digits. */
const letters = '23456789abcdefghjkmnpqrstuvwxyz0';
const length = 24;

/** Ten codes of 120 bits in groups of four. */
export const newRecoveryCodes = (): string[] =>
  Array.from({ length: codes }, () =>
    Array.from(randomBytes(length), (byte) => letters[byte % letters.length])
      .join('')
      .replace(/.{4}(?=.)/g, '$&-'),
  );

/** What is kept of one; null: what was typed cannot be one. Capitals, spaces and hyphens do not matter. */
export function recoveryHashOf(typed: string): Buffer | null {
  const plain = typed.toLowerCase().replace(/[\s-]/g, '');
  return plain.length === length ? hashOf(plain) : null;
}
