import { AwsClient } from 'aws4fetch';
import { createWriteStream, openAsBlob } from 'node:fs';
import { mkdir, rename, rm, stat } from 'node:fs/promises';
import { join } from 'node:path';
import { Readable } from 'node:stream';
import { pipeline } from 'node:stream/promises';
import type { ReadableStream } from 'node:stream/web';
import { ColdStoreError, NoColdFileError, type ColdPlace } from './cold-place.js';

export interface BucketAddress {
  /** `https://host/bucket`, or with a prefix after it; no slash at the end. */
  address: string;
  region: string;
  keyId: string;
  secretKey: string;
}

/** Fetched files are kept up to this much; those that were used last stay. */
const kept_bytes = 2e9;

interface Fetched {
  path: string;
  bytes: number;
  users: number;
}

/**
 * Files in a bucket of an S3-compatible store, by its REST interface (path-style addresses, signature version 4). Whole files
 * are sent and fetched; what was fetched is kept on this machine for the next reading of the same version.
 */
export class BucketPlace implements ColdPlace {
  private readonly client: AwsClient;
  /** In the order of last use. */
  private readonly fetched = new Map<string, Promise<Fetched>>();

  constructor(
    private readonly bucket: BucketAddress,
    /** Gives the folder for fetched files. */
    private readonly folder: () => Promise<string>,
    private readonly most_bytes = kept_bytes,
  ) {
    this.client = new AwsClient({
      ...{ accessKeyId: bucket.keyId, secretAccessKey: bucket.secretKey },
      ...{ service: 's3', region: bucket.region, retries: 3 },
    });
  }

  async names(): Promise<string[]> {
    const { origin, pathname } = new URL(this.bucket.address);
    const [, bucket, ...rest] = pathname.split('/');
    const prefix = rest.length === 0 ? '' : `${rest.map(decodeURIComponent).join('/')}/`;
    const names: string[] = [];
    for (let token: string | null = ''; token !== null;) {
      const query = new URLSearchParams({ 'list-type': '2', prefix });
      if (token !== '') query.set('continuation-token', token);
      const answer = await this.ask(`${origin}/${bucket}?${query.toString()}`, { method: 'GET' });
      if (!answer.ok) throw refused('listed', answer);
      const text = await answer.text();
      for (const [, key] of text.matchAll(/<Key>([^<]*)<\/Key>/g))
        names.push(fromXml(key).slice(prefix.length));
      const next = /<NextContinuationToken>([^<]*)<\/NextContinuationToken>/.exec(text);
      token = next === null ? null : fromXml(next[1]);
    }
    return names;
  }

  async put(file: string, name: string): Promise<void> {
    const answer = await this.ask(this.url(name), { method: 'PUT', body: await openAsBlob(file) });
    if (!answer.ok) throw refused('written to', answer);
    await answer.arrayBuffer();
  }

  /** A copy within the store, then the removal of what was copied: ended in between, it may be done again. */
  async rename(from: string, to: string): Promise<void> {
    const source = new URL(this.url(from)).pathname;
    const answer = await this.ask(this.url(to), { method: 'PUT', headers: { 'x-amz-copy-source': source } });
    const text = await answer.text();
    if (answer.status === 404) throw new NoColdFileError(from);
    // A copy may fail after its answer has begun with 200 (S3 API: CopyObject).
    if (!answer.ok || text.includes('<Error>')) throw refused('copied in', answer);
    await this.remove(from);
  }

  async remove(name: string): Promise<void> {
    const answer = await this.ask(this.url(name), { method: 'DELETE' });
    if (!answer.ok && answer.status !== 404) throw refused('removed from', answer);
    await answer.arrayBuffer();
  }

  async withFile<Result>(
    name: string,
    use: (path: string) => Promise<Result>,
    version?: number,
  ): Promise<Result> {
    if (version === undefined) {
      const fetched = await this.fetch(name);
      try {
        return await use(fetched.path);
      } finally {
        await rm(fetched.path, { force: true });
      }
    }
    const fetched = await this.kept(name, `${version}/${name}`);
    fetched.users++;
    try {
      return await use(fetched.path);
    } finally {
      fetched.users--;
      await this.forgetOldest();
    }
  }

  async readText(name: string): Promise<string | null> {
    const answer = await this.ask(this.url(name), { method: 'GET' });
    const text = await answer.text();
    if (answer.status === 404) return null;
    if (!answer.ok) throw refused('read from', answer);
    return text;
  }

  async writeText(name: string, text: string): Promise<void> {
    const answer = await this.ask(this.url(name), { method: 'PUT', body: text });
    if (!answer.ok) throw refused('written to', answer);
    await answer.arrayBuffer();
  }

  private async kept(name: string, key: string): Promise<Fetched> {
    const known = this.fetched.get(key) ?? this.fetch(name);
    // To the end: used last.
    this.fetched.delete(key);
    this.fetched.set(key, known);
    try {
      return await known;
    } catch (error) {
      this.fetched.delete(key);
      throw error;
    }
  }

  private async forgetOldest(): Promise<void> {
    const all = await Promise.all(
      [...this.fetched].map(async ([key, fetched]) => ({ key, fetched: await fetched.catch(() => null) })),
    );
    let bytes = all.reduce((sum, { fetched }) => sum + (fetched?.bytes ?? 0), 0);
    for (const { key, fetched } of all) {
      if (bytes <= this.most_bytes) return;
      if (fetched === null || fetched.users > 0) continue;
      this.fetched.delete(key);
      bytes -= fetched.bytes;
      await rm(fetched.path, { force: true });
    }
  }

  private async fetch(name: string): Promise<Fetched> {
    const answer = await this.ask(this.url(name), { method: 'GET' });
    if (answer.status === 404) {
      await answer.arrayBuffer();
      throw new NoColdFileError(name);
    }
    if (!answer.ok || answer.body === null) throw refused('read from', answer);
    const folder = join(await this.folder(), 'fetched');
    await mkdir(folder, { recursive: true });
    const path = join(folder, `${Date.now().toString(36)}-${Math.random().toString(36).slice(2)}.parquet`);
    await pipeline(
      Readable.fromWeb(answer.body as ReadableStream),
      createWriteStream(`${path}.part`, { mode: 0o600 }),
    );
    await rename(`${path}.part`, path);
    return { path, bytes: (await stat(path)).size, users: 0 };
  }

  private async ask(url: string, init: RequestInit): Promise<Response> {
    try {
      return await this.client.fetch(url, init);
    } catch (error) {
      throw new ColdStoreError('The cold store’s bucket does not answer.', { cause: error });
    }
  }

  private url(name: string): string {
    return `${this.bucket.address}/${name.split('/').map(encodeURIComponent).join('/')}`;
  }
}

/** By its status alone: what else a store says may hold keys. */
const refused = (what: string, { status }: Response): ColdStoreError =>
  new ColdStoreError(`The cold store’s bucket cannot be ${what}: it answers ${status}.`);

const entities: Record<string, string> = { amp: '&', lt: '<', gt: '>', quot: '"', apos: "'" };
const fromXml = (text: string): string =>
  text
    .replace(/&#(x?)([0-9a-fA-F]+);/g, (_, hex: string, code: string) =>
      String.fromCodePoint(parseInt(code, hex === '' ? 10 : 16)),
    )
    .replace(/&(amp|lt|gt|quot|apos);/g, (_, name: string) => entities[name]);
