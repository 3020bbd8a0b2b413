import { writeFile, rm } from 'node:fs/promises';
import { connect } from 'node:net';
import { networkInterfaces } from 'node:os';
import { join } from 'node:path';
import { connect as connectTls } from 'node:tls';
import type { MqttClient } from 'mqtt';
import { generate } from 'mqtt-packet';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import {
  type BrokerOptions,
  type RunningBroker,
  startBroker,
} from '../../backend/server/src/embedded/broker.js';
import { readSeen, writeKeys } from '../../backend/server/src/gateways/handing-over/embedded-files.js';
import type { HandedKey } from '../../backend/server/src/gateways/handing-over/handed-key.js';
import { hashOfPassword } from '../../backend/server/src/gateways/password.js';
import { AcknowledgingClient } from '../../backend/server/src/ingest/receiving/acknowledging-client.js';
import { certificateAuthority } from '../support/certificates.js';
import { connectAndRead, connectOnce, hasClosed, refusalOf } from '../support/mqtt-attempt.js';
import { until } from '../support/publish.js';
import { freePort, temporaryFolder } from '../support/store/database.js';

const own = { user: 'coldrounds', password: 'only-the-parts-of-this-run-know' };
const harbour = { username: 'harbour.1', password: 'the-key-of-the-harbour' };
const mall = { username: 'mall.1', password: 'the-key-of-the-mall' };

describe('the embedded broker with keys of gateways', () => {
  let folder: string;
  let keys: HandedKey[];
  let broker: RunningBroker;
  let said: string[];
  let clients: MqttClient[];
  let port: number;

  beforeEach(async () => {
    folder = await temporaryFolder('gateways');
    keys = [
      { user: 'harbour.1', site: 'harbour', hash: await hashOfPassword(harbour.password) },
      { user: 'harbour.2', site: 'harbour', hash: null },
      { user: 'mall.1', site: 'mall', hash: await hashOfPassword(mall.password) },
    ];
    await writeKeys(folder, keys);
    said = [];
    clients = [];
    port = await freePort();
  });
  afterEach(async () => {
    for (const client of clients) client.end(true);
    await broker?.stop();
    await rm(folder, { recursive: true, force: true });
  });

  /** Listening beyond loopback, as for real gateways; reached from this machine all the same. */
  const start = async (options: Partial<BrokerOptions> = {}) => {
    const say = (line: string) => said.push(line);
    broker = await startBroker({ port, host: '0.0.0.0', gateways: folder, own, say, hold_ms: 1, ...options });
  };
  const url = () => `mqtt://127.0.0.1:${port}`;
  const open = async (options: Parameters<typeof connectOnce>[1]) => {
    const client = await connectOnce(url(), options);
    clients.push(client);
    return client;
  };
  const openAndRead = async (options: Parameters<typeof connectAndRead>[1]) => {
    const opened = await connectAndRead(url(), options);
    clients.push(opened.client);
    return opened;
  };
  const ofMall = (topic: string) => topic.startsWith('spBv1.0/mall/');
  /** Coldrounds itself, which hears everything. */
  const listen = async (options: Parameters<typeof connectOnce>[1] = {}) => {
    const heard: { topic: string; payload: string; retain: boolean }[] = [];
    const client = await open({ username: own.user, password: own.password, clientId: 'ingest', ...options });
    client.on('message', (topic, payload, { retain }) =>
      heard.push({ topic, payload: payload.toString(), retain }),
    );
    await client.subscribeAsync(['coldrounds/#', '#'], { qos: 1 });
    return { client, heard };
  };
  const counts = async (gateway: string) =>
    Object.fromEntries(
      Object.entries((await readSeen(folder)).gateways[gateway]?.refusals ?? {}).map(
        ([reason, { count }]) => [reason, count],
      ),
    );

  it('lets nobody in without a key that is valid, and says why', async () => {
    await start();
    expect(await refusalOf(url())).toMatch(/Not authorized/);
    expect(await refusalOf(url(), { username: 'harbour.2', password: harbour.password })).toMatch(
      /Not authorized/,
    );
    for (const wrong of [
      { username: 'harbour.1', password: mall.password },
      { username: 'harbour.1' },
      { username: 'harbour.9', password: harbour.password },
      { username: 'constructor', password: 'x' },
      { username: own.user, password: harbour.password },
    ])
      expect(await refusalOf(url(), wrong), wrong.username).toMatch(/Bad username or password/);
    expect(await refusalOf(url(), harbour)).toBeNull();
    for (const words of [
      /gave no user and password/,
      /harbour\.2 .*revoked/,
      /harbour\.1 .*wrong password/,
      /no key for/,
    ])
      expect(
        said.some((line) => words.test(line)),
        String(words),
      ).toBe(true);
    await until('the report', async () => (await counts('harbour.1'))['wrong-password'] === 2);
    expect(await counts('harbour.2')).toEqual({ revoked: 1 });
    const { gateways, strangers } = await readSeen(folder);
    expect(gateways['harbour.1'].connectedAt).not.toBeNull();
    expect(strangers['no-key']!.count).toBe(1);
    expect(strangers['unknown-user']!.count).toBe(2);
  });

  it('takes what a gateway sends for its own site alone; the rest is refused, counted, and stops nothing', async () => {
    await start({ holdUntilSubscribed: 'coldrounds/#' });
    const { heard } = await listen();
    const gateway = await open({
      ...harbour,
      will: {
        topic: 'coldrounds/1/mall/chiller-1/presence',
        payload: Buffer.from('gone'),
        qos: 1,
        retain: true,
      },
    });
    const publish = (topic: string, retain = false) => gateway.publishAsync(topic, 'x', { qos: 1, retain });
    await publish('coldrounds/1/harbour/chiller-1/water');
    await publish('coldrounds/1/mall/chiller-1/presence', true);
    await publish('coldrounds/1/harbour-2/chiller-1/water');
    await publish('something/else');
    await gateway.publishAsync('coldrounds/1/mall/chiller-1/water', 'x', { qos: 2 });
    // Each was acknowledged, and the connection goes on.
    await publish('coldrounds/1/harbour/chiller-2/water');
    await until('both messages', async () => heard.some(({ topic }) => topic.endsWith('chiller-2/water')));
    gateway.stream.destroy();
    await until('the will to be refused too', async () => (await counts('harbour.1'))['other-site'] === 5);
    expect(new Set(heard.map(({ topic }) => topic))).toEqual(
      new Set(['coldrounds/1/harbour/chiller-1/water', 'coldrounds/1/harbour/chiller-2/water']),
    );
    // Nothing was retained for those who come later either.
    const later = await listen({ clientId: 'later' });
    await later.client.subscribeAsync('$SYS/#', { qos: 1 });
    await later.client.publishAsync('coldrounds/1/end', 'x', { qos: 1 });
    await until('the end', async () => later.heard.some(({ topic }) => topic === 'coldrounds/1/end'));
    expect(later.heard.filter(({ retain }) => retain)).toEqual([]);
    expect(said.filter((line) => /published on .* correct the site/.test(line))).toHaveLength(1);
  });

  it('gives a gateway nothing to read, neither by asking nor by the session of another', async () => {
    await start();
    const { client: ingester, heard } = await listen({ clean: false });
    const spy = await open({ ...harbour, clientId: 'ingest', clean: false });
    const read: string[] = [];
    spy.on('message', (topic) => read.push(topic));
    // mqtt.js tells a refused subscription as an error.
    await expect(spy.subscribeAsync(['coldrounds/#', '#', '$SYS/#'], { qos: 1 })).rejects.toThrow();
    const other = await open({ ...mall, clientId: 'other' });
    await other.publishAsync('coldrounds/1/mall/chiller-1/water', 'x', { qos: 1 });
    await until('the message', async () => heard.length > 0);
    // The ingester was not put out by the other of its name, and what it had subscribed to is not handed over again.
    expect(ingester.connected).toBe(true);
    await spy.endAsync();
    const again = await open({ ...harbour, clientId: 'ingest', clean: false });
    again.on('message', (topic) => read.push(topic));
    await again.publishAsync('coldrounds/1/harbour/chiller-1/water', 'x', { qos: 1 });
    await until('its message', async () => heard.some(({ topic }) => topic.includes('harbour')));
    expect(read).toEqual([]);
  });

  it('hands nothing of another site to a session that was opened with that site’s key', async () => {
    await start();
    const { client: host } = await listen();
    const session = { username: 'harbour.1', clientId: 'node', clean: false };
    const before = await openAndRead({ ...session, password: harbour.password });
    await before.client.subscribeAsync('spBv1.0/harbour/NCMD/#', { qos: 1 });
    await host.publishAsync('spBv1.0/harbour/NCMD/node', 'birth', { qos: 1 });
    await until('the command of its own site', () => Promise.resolve(before.topics.length === 1));
    await before.client.endAsync();
    // What is queued while it is away, and what comes once it is back under the key of the mall.
    await host.publishAsync('spBv1.0/harbour/NCMD/node', 'birth', { qos: 1 });
    await writeKeys(folder, [{ user: 'harbour.1', site: 'mall', hash: await hashOfPassword(mall.password) }]);
    const after = { ...session, password: mall.password };
    await until('the new key', async () => (await refusalOf(url(), { ...after, clientId: 'try' })) === null);
    const again = await openAndRead(after);
    await again.client.subscribeAsync('spBv1.0/mall/NCMD/#', { qos: 1 });
    await host.publishAsync('spBv1.0/harbour/NCMD/node', 'birth', { qos: 1 });
    await host.publishAsync('spBv1.0/mall/NCMD/node', 'birth', { qos: 1 });
    await until('the command of the mall', () => Promise.resolve(again.topics.some(ofMall)));
    expect(again.topics.filter((topic) => !ofMall(topic))).toEqual([]);
  });

  it('disconnects a gateway within seconds when its key is revoked, and no other', async () => {
    await start();
    const [gateway, other] = [await open(harbour), await open(mall)];
    const revoked_ms = performance.now();
    await writeKeys(folder, [{ ...keys[0], hash: null }, ...keys.slice(1)]);
    await hasClosed(gateway);
    // A generous bound: it looks every second.
    expect(performance.now() - revoked_ms).toBeLessThan(60_000);
    expect(await refusalOf(url(), harbour)).toMatch(/Not authorized/);
    await other.publishAsync('coldrounds/1/mall/chiller-1/water', 'x', { qos: 1 });
    // Keys that are damaged change nothing, and the next that can be read do.
    await writeFile(join(folder, 'keys.json'), '{"keys": [');
    await until('the complaint', async () => said.some((line) => /cannot be read/.test(line)), 60_000);
    expect(await refusalOf(url(), mall)).toBeNull();
    await writeKeys(folder, keys);
    await until('the key to be valid again', async () => (await refusalOf(url(), harbour)) === null, 60_000);
  });

  it('needs no key on the loopback address, but holds one that is given to its site', async () => {
    await start({ host: '127.0.0.1' });
    const heard: string[] = [];
    const listener = await open({ clientId: 'anybody' });
    listener.on('message', (topic) => heard.push(topic));
    await listener.subscribeAsync('coldrounds/#', { qos: 1 });
    expect(await refusalOf(url(), { ...harbour, password: 'wrong' })).toMatch(/Bad username/);
    const gateway = await open(harbour);
    await gateway.publishAsync('coldrounds/1/mall/chiller-1/water', 'x', { qos: 1 });
    await gateway.publishAsync('coldrounds/1/harbour/chiller-1/water', 'x', { qos: 1 });
    await until('the message', async () => heard.includes('coldrounds/1/harbour/chiller-1/water'));
    expect(heard).toHaveLength(1);
  });

  it('tells a client that asks for MQTT 5 that its version is not spoken, and the operator what to do', async () => {
    await start();
    const options = { ...harbour, protocolVersion: 5 as const };
    expect(await refusalOf(url(), options)).toMatch(
      /Unacceptable protocol version|Unsupported Protocol Version/i,
    );
    expect(said.join('\n')).toMatch(
      /harbour\.1 at 127\.0\.0\.1 asked for MQTT 5.*set it to 3\.1\.1.*use Mosquitto/,
    );
    expect(await refusalOf(url(), { protocolVersion: 5 })).not.toBeNull();
    await until('the report', async () => (await readSeen(folder)).strangers['mqtt-5']?.count === 1);
    expect(await counts('harbour.1')).toEqual({ 'mqtt-5': 1 });
    // Coldrounds itself asks for 5 first, which is no news.
    const lines = said.length;
    expect(
      await refusalOf(url(), { username: own.user, password: own.password, protocolVersion: 5 }),
    ).not.toBeNull();
    expect(said).toHaveLength(lines);
    expect(await refusalOf(url(), { ...harbour, protocolVersion: 4 })).toBeNull();
  });

  it('has an operator’s certificate for TLS, takes a new one without a restart and keeps the old for a wrong one', async () => {
    const [authority, stranger] = [
      await certificateAuthority('Operator'),
      await certificateAuthority('Stranger'),
    ];
    const [first, second] = [await authority.issue(), await authority.issue()];
    const [certFile, keyFile] = [join(folder, 'server.crt'), join(folder, 'server.key')];
    const place = async ({ certificate, key }: typeof first) => {
      await writeFile(certFile, certificate);
      await writeFile(keyFile, key);
    };
    await place(first);
    const tlsPort = await freePort();
    await start({ host: '127.0.0.1', tls: { certFile, keyFile, port: tlsPort, host: '0.0.0.0' } });
    const secure = `mqtts://localhost:${tlsPort}`;
    const ca = authority.certificate;
    expect(await refusalOf(secure, { ...harbour, ca })).toBeNull();
    expect(await refusalOf(secure, { ...harbour, ca: stranger.certificate })).toMatch(/certificate/);
    // Others can reach this port, so that it needs a key although the plain one does not.
    expect(await refusalOf(secure, { ca })).toMatch(/Not authorized/);
    const staying = await connectOnce(secure, { ...harbour, ca });
    clients.push(staying);
    const shown = () =>
      new Promise<string>((resolve, reject) => {
        const socket = connectTls({ port: tlsPort, host: 'localhost', ca }, () => {
          resolve(socket.getPeerCertificate().serialNumber);
          socket.destroy();
        }).once('error', reject);
      });
    expect(await shown()).toBe('02');
    await writeFile(keyFile, 'no key');
    await until('the complaint', async () => said.some((line) => /one before holds on/.test(line)), 60_000);
    expect(await shown()).toBe('02');
    await place(second);
    await until('the new certificate', async () => (await shown()) === '03', 60_000);
    await staying.publishAsync('coldrounds/1/harbour/chiller-1/water', 'x', { qos: 1 });
    await expect(
      startBroker({
        port: await freePort(),
        tls: { certFile, keyFile: join(folder, 'none'), port: 0, host: '::1' },
      }),
    ).rejects.toThrow(/MQTT_TLS_KEY names a file that cannot be read/);
  });

  it('is reached by the ingester over TLS with the operator’s own authority, and by nobody in between', async () => {
    const [authority, stranger] = [
      await certificateAuthority('Operator'),
      await certificateAuthority('Stranger'),
    ];
    const issued = await authority.issue();
    const [certFile, keyFile] = [join(folder, 'server.crt'), join(folder, 'server.key')];
    await writeFile(certFile, issued.certificate);
    await writeFile(keyFile, issued.key);
    const tlsPort = await freePort();
    await start({ tls: { certFile, keyFile, port: tlsPort, host: '127.0.0.1' } });
    const states: string[] = [];
    const heard: string[] = [];
    const ingester = (ca: string) =>
      new AcknowledgingClient(
        {
          ...{
            url: `mqtts://localhost:${tlsPort}`,
            clientId: 'ingest',
            username: own.user,
            password: own.password,
            ca,
          },
          ...{ protocol: 'auto', topics: ['coldrounds/#'], receiveMaximum: 100, sessionExpiry_s: 60 },
        },
        {
          onMessage: (message) => {
            heard.push(message.topic);
            message.acknowledge();
            return null;
          },
          onState: ({ detail }) => states.push(detail),
        },
      );
    const deceived = ingester(stranger.certificate);
    deceived.start();
    await until('the refusal', async () => states.some((detail) => /certificate/.test(detail)), 60_000);
    expect(deceived.connected).toBe(false);
    await deceived.stop();
    const client = ingester(authority.certificate);
    client.start();
    await until('the connection', async () => states.includes('Connected over MQTT 3.1.1.'), 60_000);
    const gateway = await open(harbour);
    await gateway.publishAsync('coldrounds/1/harbour/chiller-1/water', 'x', { qos: 1 });
    await until('the message', async () => heard.length === 1);
    await client.stop();
  });

  it('stands a wrong key ten thousand times, while gateways with theirs go on', async () => {
    await start();
    const { heard } = await listen();
    const gateway = await open(harbour);
    const attempts = 10_000;
    const packet = generate({
      ...{ cmd: 'connect', protocolId: 'MQTT', protocolVersion: 4, clean: true, keepalive: 60 },
      ...{ clientId: 'guesser', username: 'mall.1', password: Buffer.from('guessed') },
    });
    // As cheap for the guesser as can be: one packet a connection. 4: bad user name or password (MQTT 3.1.1, 3.2.2.3).
    const guess = () =>
      new Promise<number>((resolve, reject) => {
        const socket = connect(port, '127.0.0.1', () => socket.write(packet));
        socket.once('data', (answer) => {
          resolve(answer[3]);
          socket.destroy();
        });
        socket.once('error', reject);
      });
    let left = attempts;
    const answers = new Set<number>();
    const guessers = Array.from({ length: 50 }, async () => {
      while (left-- > 0) answers.add(await guess());
    });
    const sent = 200;
    for (let i = 0; i < sent; i++)
      await gateway.publishAsync(`coldrounds/1/harbour/chiller-1/water`, String(i), { qos: 1 });
    // The one whose key is guessed comes in too, from the same address.
    expect(await refusalOf(url(), mall)).toBeNull();
    await Promise.all(guessers);
    expect([...answers]).toEqual([4]);
    await until('the messages', async () => heard.length === sent);
    await until('the count', async () => (await counts('mall.1'))['wrong-password'] === attempts);
    expect(said.filter((line) => /wrong password/.test(line)).length).toBeLessThan(60);
  });

  it('takes no more connections that wait to be let in than it can bear from one address', async () => {
    await start();
    const sockets = Array.from({ length: 100 }, () => connect(port, '127.0.0.1'));
    await Promise.all(sockets.map((socket) => new Promise((resolve) => socket.once('connect', resolve))));
    const beyond = connect(port, '127.0.0.1');
    await new Promise<void>((resolve) => beyond.once('close', () => resolve()));
    const outside = Object.values(networkInterfaces())
      .flatMap((all) => all ?? [])
      .find((one) => !one.internal && one.family === 'IPv4');
    if (outside !== undefined)
      // From another address one comes in all the same.
      expect(
        await refusalOf(`mqtt://${outside.address}:${port}`, {
          ...harbour,
          localAddress: outside.address,
        } as never),
      ).toBeNull();
    for (const socket of sockets) socket.destroy();
    await until('room again', async () => (await refusalOf(url(), harbour)) === null);
  });
});
