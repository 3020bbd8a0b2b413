import { randomUUID } from 'node:crypto';
import { mkdir, open, readFile, rename, rm } from 'node:fs/promises';
import { dirname } from 'node:path';

/** The text of a file; null where there is none. */
export const textOf = (path: string): Promise<string | null> =>
  readFile(path, 'utf8').catch((error: NodeJS.ErrnoException) => {
    if (error.code === 'ENOENT') return null;
    throw error;
  });

/**
 * Writes a file so that whoever reads it finds the old text or the new one, never a part, and a power cut leaves one of
 * them. Returns false, and leaves the file alone, where it has this text already.
 */
export async function writeWhole(path: string, text: string, mode = 0o600): Promise<boolean> {
  if ((await textOf(path)) === text) return false;
  await mkdir(dirname(path), { recursive: true });
  const beside = `${path}.${randomUUID()}`;
  try {
    const file = await open(beside, 'wx', mode);
    try {
      // Not narrowed by the process's mask: the group may be the broker's.
      await file.chmod(mode);
      await file.writeFile(text);
      await file.sync();
    } finally {
      await file.close();
    }
    await rename(beside, path);
  } catch (error) {
    await rm(beside, { force: true });
    throw error;
  }
  return true;
}
