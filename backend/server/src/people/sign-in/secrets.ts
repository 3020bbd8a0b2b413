import { createHash, randomBytes } from 'node:crypto';

/** A secret of 256 bits that is handed out once. */
export const newSecret = (): string => randomBytes(32).toString('base64url');

/** What is kept of a secret. It has 256 bits of its own, so that a fast hash without salt suffices. */
export const hashOf = (secret: string): Buffer => createHash('sha256').update(secret).digest();
