/** A file that is not there. */
export class NoColdFileError extends Error {
  override name = 'NoColdFileError';
  constructor(name: string) {
    super(`The cold store has no file ${name}.`);
  }
}

/** The cold store cannot be used as it is set; the message says what to change. */
export class ColdStoreError extends Error {
  override name = 'ColdStoreError';
}

/** Where the files lie: a folder, or a bucket of an S3-compatible store. Names have `/` between folders. */
export interface ColdPlace {
  names(): Promise<string[]>;
  /** Puts a finished file of this machine under a name; what it replaces is gone when it is whole, not before. */
  put(file: string, name: string): Promise<void>;
  rename(from: string, to: string): Promise<void>;
  /** A file that is not there is no error. */
  remove(name: string): Promise<void>;
  /**
   * Has a file at hand on this machine while `use` reads it.
   *
   * @param version under which a copy that was fetched may be kept and used again; left out: fetched anew
   * @throws NoColdFileError
   */
  withFile<Result>(name: string, use: (path: string) => Promise<Result>, version?: number): Promise<Result>;
  readText(name: string): Promise<string | null>;
  writeText(name: string, text: string): Promise<void>;
}
