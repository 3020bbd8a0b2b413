import { createHash, createHmac, timingSafeEqual } from 'node:crypto';
import { createServer, type IncomingMessage, type ServerResponse } from 'node:http';
import type { AddressInfo } from 'node:net';

export interface BucketStandIn {
  /** Address of the bucket. */
  address: string;
  objects: Map<string, Buffer>;
  /** Answers 503 so many times before it works. */
  failNext: (times: number) => void;
  close: () => Promise<void>;
}

/**
 * The few operations of S3's REST interface that a cold store needs, on objects in memory: PutObject, CopyObject, GetObject, DeleteObject
 * and ListObjectsV2 in pages of two. Each request's signature (AWS Signature Version 4, as its documentation defines it) is checked.
 */
export async function startBucket(keyId: string, secretKey: string): Promise<BucketStandIn> {
  const objects = new Map<string, Buffer>();
  let failing = 0;
  const server = createServer((request, response) => {
    const chunks: Buffer[] = [];
    request.on('data', (chunk: Buffer) => chunks.push(chunk));
    request.on('end', () => answer(request, response, Buffer.concat(chunks)));
  });
  const send = (response: ServerResponse, status: number, body: string | Buffer = '') =>
    response.writeHead(status, { 'content-length': Buffer.byteLength(body) }).end(body);

  function answer(request: IncomingMessage, response: ServerResponse, body: Buffer): void {
    if (failing > 0) {
      failing--;
      return void send(response, 503, '<Error><Code>SlowDown</Code></Error>');
    }
    if (!isSigned(request, keyId, secretKey)) return void send(response, 403, '<Error/>');
    const url = new URL(request.url!, 'http://host');
    const key = decodeURIComponent(url.pathname.replace(/^\/readings\/?/, ''));
    if (request.method === 'GET' && url.searchParams.get('list-type') === '2')
      return void send(response, 200, listed(objects, url.searchParams));
    if (request.method === 'GET') {
      const object = objects.get(key);
      return void (object ? send(response, 200, object) : send(response, 404, '<Error/>'));
    }
    if (request.method === 'DELETE') {
      objects.delete(key);
      return void send(response, 204);
    }
    const source = request.headers['x-amz-copy-source'];
    if (source === undefined) objects.set(key, body);
    else {
      const copied = objects.get(decodeURIComponent(String(source).replace(/^\/readings\//, '')));
      if (copied === undefined) return void send(response, 404, '<Error/>');
      objects.set(key, copied);
    }
    send(response, 200);
  }

  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
  return {
    address: `http://127.0.0.1:${(server.address() as AddressInfo).port}/readings/of site`.replace(
      ' ',
      '%20',
    ),
    objects,
    failNext: (times) => (failing = times),
    close: () =>
      new Promise((resolve) => {
        server.close(() => resolve());
        server.closeAllConnections();
      }),
  };
}

function listed(objects: Map<string, Buffer>, query: URLSearchParams): string {
  const keys = [...objects.keys()].filter((key) => key.startsWith(query.get('prefix') ?? '')).sort();
  const from = Number(query.get('continuation-token') ?? 0);
  const page = keys.slice(from, from + 2);
  const more = from + 2 < keys.length ? `<NextContinuationToken>${from + 2}</NextContinuationToken>` : '';
  const escaped = (key: string) => key.replaceAll('&', '&amp;').replaceAll('<', '&lt;');
  return `<ListBucketResult>${page.map((key) => `<Contents><Key>${escaped(key)}</Key></Contents>`).join('')}${more}</ListBucketResult>`;
}

const hmac = (key: string | Buffer, text: string) => createHmac('sha256', key).update(text).digest();
const hex = (text: string) => createHash('sha256').update(text).digest('hex');

function isSigned(request: IncomingMessage, keyId: string, secretKey: string): boolean {
  const given =
    /^AWS4-HMAC-SHA256 Credential=([^/]+)\/(\d{8})\/([^/]+)\/s3\/aws4_request, *SignedHeaders=([^,]+), *Signature=([0-9a-f]{64})$/.exec(
      request.headers.authorization ?? '',
    );
  if (given === null || given[1] !== keyId) return false;
  const [, , day, region, names, signature] = given;
  const url = new URL(request.url!, 'http://host');
  const query = [...url.searchParams]
    .map((pair) => pair.map(encodeURIComponent).join('='))
    .sort()
    .join('&');
  const headers = names
    .split(';')
    .map((name) => `${name}:${String(request.headers[name]).trim()}\n`)
    .join('');
  const canonical = [
    request.method,
    url.pathname,
    query,
    headers,
    names,
    String(request.headers['x-amz-content-sha256']),
  ].join('\n');
  const scope = `${day}/${region}/s3/aws4_request`;
  const text = ['AWS4-HMAC-SHA256', String(request.headers['x-amz-date']), scope, hex(canonical)].join('\n');
  const key = ['s3', 'aws4_request'].reduce(hmac, hmac(hmac(`AWS4${secretKey}`, day), region));
  return timingSafeEqual(hmac(key, text), Buffer.from(signature, 'hex'));
}
