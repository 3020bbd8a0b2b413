import type { Database } from '../connection/database.js';
import { ColdManifest } from './cold-manifest.js';
import { ColdMover, type ColdMoverParts } from './moving/cold-mover.js';
import type { ColdPlace } from './cold-place.js';
import { ColdReader } from './cold-reader.js';
import { Duck } from './duck.js';
import { ColdRecall } from './recall.js';

/** The cold store of one process: reads, moves and takes back. */
export class ColdStore {
  readonly reader: ColdReader;
  readonly recall: ColdRecall;
  private readonly parts: { database: Database; place: ColdPlace; duck: Duck };

  /** @param place is given a folder of this machine for what it fetches */
  constructor({
    database,
    workFolder,
    place,
  }: {
    database: Database;
    workFolder: string;
    place: (folder: () => Promise<string>) => ColdPlace;
  }) {
    const duck = new Duck(workFolder);
    this.parts = { database, duck, place: place(() => duck.folder()) };
    this.reader = new ColdReader(this.parts);
    this.recall = new ColdRecall(database.pool, this.reader);
  }

  mover(options: Omit<ColdMoverParts, 'database' | 'place' | 'duck'>): ColdMover {
    return new ColdMover({ ...this.parts, ...options });
  }

  close(): Promise<void> {
    return this.parts.duck.close();
  }
}

/** Whether readings of this database lie in a cold store. */
export const usesColdStore = (database: Database): Promise<boolean> => new ColdManifest(database).isUsed();
