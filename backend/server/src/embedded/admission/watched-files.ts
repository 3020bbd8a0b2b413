import { stat } from 'node:fs/promises';

/**
 * Calls `changed` whenever one of the files has become another: by time, size or place on the disk, looked at every
 * second, as notifications of the system are lost on some file systems and over symbolic links. Returns how to stop.
 */
export function watchFiles(
  paths: readonly string[],
  changed: () => Promise<void>,
  every_ms = 1_000,
): () => void {
  const look = async () => (await Promise.all(paths.map(stampOf))).join(' ');
  let known = look();
  let busy = false;
  const timer = setInterval(() => {
    if (busy) return;
    busy = true;
    void (async () => {
      const now = await look();
      if (now === (await known)) return;
      known = Promise.resolve(now);
      await changed();
    })().finally(() => (busy = false));
  }, every_ms);
  timer.unref();
  return () => clearInterval(timer);
}

const stampOf = async (path: string): Promise<string> => {
  try {
    const { mtimeMs, size, ino } = await stat(path);
    return `${mtimeMs}-${size}-${ino}`;
  } catch {
    return 'none';
  }
};
