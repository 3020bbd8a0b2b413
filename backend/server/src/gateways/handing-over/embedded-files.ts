import { join } from 'node:path';
import { z } from 'zod';
import { refusalReasons, type RefusalReason } from '../../storage/gateways/refusal-reasons.js';
import type { HandedKey } from './handed-key.js';
import { textOf, writeWhole } from './write-whole.js';

/**
 * Two files in the data folder stand between server and embedded broker, which is a process of its own that must let
 * gateways in while the database is away: the keys, written by the server, and what the broker saw of them, written by
 * the broker.
 */
export const keysFileIn = (folder: string): string => join(folder, 'keys.json');
export const seenFileIn = (folder: string): string => join(folder, 'seen.json');

const refusal = z.object({
  count: z.number(),
  lastAt: z.iso.datetime(),
  /** The topic, or where it came from. */
  detail: z.string(),
});
const refusals = z.partialRecord(z.enum(refusalReasons), refusal);

const seenSchema = z.object({
  gateways: z.record(z.string(), z.object({ connectedAt: z.iso.datetime().nullable(), refusals })),
  /** Of nobody who is known. */
  strangers: refusals,
});

export type Refusals = Partial<Record<RefusalReason, z.output<typeof refusal>>>;
export type Seen = z.output<typeof seenSchema>;

export const nothingSeen = (): Seen => ({ gateways: {}, strangers: {} });

const keysSchema = z.object({
  keys: z.array(z.object({ user: z.string(), site: z.string(), hash: z.string().nullable() })),
});

/** Null: there is no such file. Throws where it is damaged. */
export async function readKeys(folder: string): Promise<HandedKey[] | null> {
  const text = await textOf(keysFileIn(folder));
  return text === null ? null : keysSchema.parse(JSON.parse(text)).keys;
}

export const writeKeys = (folder: string, keys: readonly HandedKey[]): Promise<boolean> =>
  writeWhole(keysFileIn(folder), `${JSON.stringify({ keys })}\n`);

/** Nothing where the broker has not written yet, or what it wrote is damaged: it is a report, and the next one comes. */
export async function readSeen(folder: string): Promise<Seen> {
  try {
    const text = await textOf(seenFileIn(folder));
    return text === null ? nothingSeen() : seenSchema.parse(JSON.parse(text));
  } catch {
    return nothingSeen();
  }
}

export const writeSeen = (folder: string, seen: Seen): Promise<boolean> =>
  writeWhole(seenFileIn(folder), `${JSON.stringify(seen)}\n`);
