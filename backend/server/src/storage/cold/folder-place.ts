import { constants } from 'node:fs';
import { access, copyFile, mkdir, open, readdir, readFile, rename, rm, writeFile } from 'node:fs/promises';
import { dirname, join, relative, sep } from 'node:path';
import { NoColdFileError, type ColdPlace } from './cold-place.js';

const isMissing = (error: unknown): boolean => (error as NodeJS.ErrnoException).code === 'ENOENT';

/** Files in a folder of this machine or one that it has mounted. */
export class FolderPlace implements ColdPlace {
  constructor(private readonly folder: string) {}

  async names(): Promise<string[]> {
    try {
      const entries = await readdir(this.folder, { recursive: true, withFileTypes: true });
      return entries
        .filter((entry) => entry.isFile())
        .map((entry) => relative(this.folder, join(entry.parentPath, entry.name)).split(sep).join('/'));
    } catch (error) {
      if (isMissing(error)) return [];
      throw error;
    }
  }

  /** On the disk, not only handed to it: the rows are dropped after this. */
  async put(file: string, name: string): Promise<void> {
    const path = this.path(name);
    await mkdir(dirname(path), { recursive: true });
    await copyFile(file, path);
    await flush(path);
    await flush(dirname(path));
  }

  async rename(from: string, to: string): Promise<void> {
    try {
      await rename(this.path(from), this.path(to));
    } catch (error) {
      throw isMissing(error) ? new NoColdFileError(from) : error;
    }
    await flush(dirname(this.path(to)));
  }

  async remove(name: string): Promise<void> {
    await rm(this.path(name), { force: true });
  }

  async withFile<Result>(name: string, use: (path: string) => Promise<Result>): Promise<Result> {
    const path = this.path(name);
    await requireThere(path, name);
    try {
      return await use(path);
    } catch (error) {
      // It may have been renamed between the look and the reading.
      await requireThere(path, name);
      throw error;
    }
  }

  async readText(name: string): Promise<string | null> {
    try {
      return await readFile(this.path(name), 'utf8');
    } catch (error) {
      if (isMissing(error)) return null;
      throw error;
    }
  }

  async writeText(name: string, text: string): Promise<void> {
    await mkdir(this.folder, { recursive: true });
    await writeFile(this.path(name), text);
  }

  private path(name: string): string {
    return join(this.folder, name);
  }
}

async function requireThere(path: string, name: string): Promise<void> {
  try {
    await access(path, constants.R_OK);
  } catch (error) {
    throw isMissing(error) ? new NoColdFileError(name) : error;
  }
}

async function flush(path: string): Promise<void> {
  const handle = await open(path, 'r');
  try {
    await handle.sync();
  } finally {
    await handle.close();
  }
}
