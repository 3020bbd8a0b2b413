import { tmpdir } from 'node:os';
import { isAbsolute } from 'node:path';
import { z } from 'zod';
import type { VariableProblem } from './secret-files.js';

/** Where old readings are moved to, as Parquet files. */
export type ColdPlaceConfig =
  | { kind: 'folder'; folder: string }
  | {
      kind: 'bucket';
      /** Address of the bucket, path-style: `https://host/bucket`, or `https://host/bucket/prefix`. */
      address: string;
      region: string;
      keyId: string;
      secretKey: string;
    };

export interface ColdConfig {
  place: ColdPlaceConfig;
  /** Readings older than this are moved, by whole weeks. */
  after_days: number;
  /** For files that are being made or were fetched; on this machine. */
  workFolder: string;
}

export const coldVariables = {
  READINGS_COLD_FOLDER: z.string().refine(isAbsolute, { error: 'must be an absolute path' }).optional(),
  READINGS_COLD_BUCKET: z
    .string()
    .refine(isBucketAddress, {
      error: 'must be the address of a bucket, https://host/bucket, without user, query and fragment',
    })
    .optional(),
  READINGS_COLD_REGION: z
    .string()
    .regex(/^[a-z0-9-]{1,40}$/, 'must be small letters, digits and hyphens')
    .default('us-east-1'),
  READINGS_COLD_KEY_ID: z.string().optional(),
  READINGS_COLD_SECRET_KEY: z.string().optional(),
  READINGS_COLD_AFTER_DAYS: z
    .string()
    .refine((text) => /^\d{1,5}$/.test(text) && Number(text) >= 7, {
      error: 'must be a whole number of days, at least 7',
    })
    .transform(Number)
    .default(35),
  READINGS_COLD_WORK_FOLDER: z.string().refine(isAbsolute, { error: 'must be an absolute path' }).optional(),
};

function isBucketAddress(text: string): boolean {
  try {
    const { protocol, username, password, search, hash, pathname } = new URL(text);
    return /^https?:$/.test(protocol) && username + password + search + hash === '' && pathname.length > 1;
  } catch {
    return false;
  }
}

const isThisMachine = (host: string): boolean =>
  host === 'localhost' || host === '[::1]' || /^127(\.\d{1,3}){3}$/.test(host);

type Read = z.output<z.ZodObject<typeof coldVariables>>;

/** Null: readings stay in PostgreSQL. */
export function coldOf(
  read: Read,
  readingsRetention_days: number | null,
  problems: VariableProblem[],
): ColdConfig | null {
  const complain = (variable: string, reason: string) => problems.push({ variable, reason });
  const { READINGS_COLD_FOLDER: folder, READINGS_COLD_BUCKET: address } = read;
  const { READINGS_COLD_KEY_ID: keyId, READINGS_COLD_SECRET_KEY: secretKey } = read;
  if (folder === undefined && address === undefined) {
    for (const [variable, value] of Object.entries({
      ...{ READINGS_COLD_KEY_ID: keyId, READINGS_COLD_SECRET_KEY: secretKey },
    }))
      if (value !== undefined) complain(variable, 'needs READINGS_COLD_BUCKET');
    return null;
  }
  if (folder !== undefined && address !== undefined)
    complain('READINGS_COLD_BUCKET', 'cannot be set together with READINGS_COLD_FOLDER');
  if (address !== undefined) {
    if (keyId === undefined) complain('READINGS_COLD_KEY_ID', 'must be set where READINGS_COLD_BUCKET is');
    if (secretKey === undefined)
      complain('READINGS_COLD_SECRET_KEY', 'must be set where READINGS_COLD_BUCKET is');
    const url = new URL(address);
    if (url.protocol === 'http:' && !isThisMachine(url.hostname))
      complain('READINGS_COLD_BUCKET', 'must begin with https:// where it is on another machine');
  }
  if (readingsRetention_days !== null && read.READINGS_COLD_AFTER_DAYS >= readingsRetention_days)
    complain(
      'READINGS_COLD_AFTER_DAYS',
      'must be less than READINGS_RETENTION_DAYS, which says how long readings are kept in all',
    );
  return {
    place:
      folder !== undefined
        ? { kind: 'folder', folder }
        : {
            ...{ kind: 'bucket', address: address!.replace(/\/+$/, ''), region: read.READINGS_COLD_REGION },
            ...{ keyId: keyId ?? '', secretKey: secretKey ?? '' },
          },
    after_days: read.READINGS_COLD_AFTER_DAYS,
    workFolder: read.READINGS_COLD_WORK_FOLDER ?? tmpdir(),
  };
}
