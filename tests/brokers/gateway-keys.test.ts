import { type ChildProcess, execFileSync, spawn } from 'node:child_process';
import { chmod, mkdir, readFile, rm, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { connect as connectTls } from 'node:tls';
import mqtt, { type IClientOptions, type MqttClient } from 'mqtt';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { HandedKey } from '../../backend/server/src/gateways/handing-over/handed-key.js';
import {
  reloadMosquitto,
  writeMosquittoFiles,
} from '../../backend/server/src/gateways/handing-over/mosquitto-files.js';
import { hashOfPassword, isPassword } from '../../backend/server/src/gateways/password.js';
import { AcknowledgingClient } from '../../backend/server/src/ingest/receiving/acknowledging-client.js';
import { type Authority, certificateAuthority, type Issued } from '../support/certificates.js';
import { connectOnce, hasClosed, refusalOf } from '../support/mqtt-attempt.js';
import { until } from '../support/publish.js';
import { freePort, temporaryFolder } from '../support/store/database.js';
import { isMosquittoInstalled } from './is-installed.js';

const skip = !isMosquittoInstalled();
const docker = (name: string) => fileURLToPath(new URL(`../../docker/${name}`, import.meta.url));

const own = { user: 'coldrounds', password: 'of-coldrounds-itself' };
const harbour = { username: 'harbour.1', password: 'the-key-of-the-harbour' };
const mall = { username: 'mall.1', password: 'the-key-of-the-mall' };

/** The broker of docker-compose.yml: its script and its configuration, on other ports and in another folder. */
describe(`Mosquitto with keys of gateways${skip ? ' (skipped: mosquitto is not installed)' : ''}`, () => {
  let folder: string;
  let ports: { own: number; plain: number; tls: number };
  let broker: ChildProcess | undefined;
  let log = '';
  let authority: Authority;
  let keys: HandedKey[];
  const clients: MqttClient[] = [];
  const ca = () => authority.certificate;
  const plain = () => `mqtt://localhost:${ports.plain}`;
  const secure = () => `mqtts://localhost:${ports.tls}`;
  const ours = (clientId: string): IClientOptions => ({
    username: own.user,
    password: own.password,
    clientId,
  });

  const place = async ({ certificate, key }: Issued) => {
    await writeFile(join(folder, 'tls/server.key'), key);
    await writeFile(join(folder, 'tls/server.crt'), certificate);
  };
  const hand = (of: readonly HandedKey[]) => writeMosquittoFiles(join(folder, 'keys'), own, of);

  const startBroker = async () => {
    broker = spawn('sh', [docker('broker.sh')], {
      env: {
        ...process.env,
        ...{ KEYS: join(folder, 'keys'), TLS: join(folder, 'tls'), OWN: join(folder, 'own') },
        ...{ CONFIG: join(folder, 'mosquitto.conf'), TLS_PORT: String(ports.tls), EVERY: '1' },
        ...{ MQTT_USERNAME: own.user, MQTT_PASSWORD: own.password },
      },
      stdio: ['ignore', 'pipe', 'pipe'],
    });
    for (const stream of [broker.stdout!, broker.stderr!])
      stream.on('data', (chunk: Buffer) => (log += chunk.toString()));
    await until(
      'the broker',
      async () => (await refusalOf(`mqtt://localhost:${ports.own}`, ours('probe'))) === null,
    );
  };
  const stopBroker = async () => {
    const ended = new Promise((resolve) => broker!.once('exit', resolve));
    broker!.kill('SIGTERM');
    await ended;
  };

  beforeAll(async () => {
    if (skip) return;
    folder = await temporaryFolder('gateway-keys');
    await mkdir(join(folder, 'tls'));
    ports = { own: await freePort(), plain: await freePort(), tls: await freePort() };
    authority = await certificateAuthority('Operator');
    await place(await authority.issue());
    const config = (await readFile(docker('mosquitto.conf'), 'utf8'))
      .replaceAll('/mosquitto/data', join(folder, 'own'))
      .replace('listener 1884', `listener ${ports.own}`)
      .replace('listener 1883', `listener ${ports.plain}`);
    await writeFile(
      join(folder, 'mosquitto.conf'),
      `${config}\nlog_type all\npid_file ${join(folder, 'own/mosquitto.pid')}\n`,
    );
    keys = [
      { user: 'harbour.1', site: 'harbour', hash: await hashOfPassword(harbour.password) },
      { user: 'harbour.2', site: 'harbour', hash: null },
      { user: 'mall.1', site: 'mall', hash: await hashOfPassword(mall.password) },
    ];
    await startBroker();
  });
  afterAll(async () => {
    for (const client of clients) client.end(true);
    if (broker && broker.exitCode === null) await stopBroker();
    if (folder) await rm(folder, { recursive: true, force: true });
  });
  const open = async (url: string, options: IClientOptions) => {
    const client = await connectOnce(url, options);
    clients.push(client);
    return client;
  };

  it.skipIf(skip)('has hashes that mosquitto_passwd makes and Coldrounds reads', async () => {
    const file = join(folder, 'by-mosquitto');
    execFileSync('mosquitto_passwd', ['-b', '-c', file, 'harbour.1', harbour.password], { stdio: 'ignore' });
    const hash = (await readFile(file, 'utf8')).trim().slice('harbour.1:'.length);
    expect(await isPassword(harbour.password, hash)).toBe(true);
    expect(await isPassword(mall.password, hash)).toBe(false);
  });

  it.skipIf(skip)(
    'lets only Coldrounds in before it has handed over keys, and then those of the keys too',
    async () => {
      expect(await refusalOf(plain(), harbour)).toMatch(/Not authorized/);
      expect(await refusalOf(plain())).toMatch(/Not authorized/);
      expect(await hand(keys)).toBe(true);
      await until('the key to be taken over', async () => (await refusalOf(plain(), harbour)) === null);
      expect(await refusalOf(plain(), { ...harbour, password: mall.password })).toMatch(/Not authorized/);
      expect(await refusalOf(plain(), { username: 'harbour.2', password: harbour.password })).toMatch(
        /Not authorized/,
      );
      expect(await refusalOf(plain())).toMatch(/Not authorized/);
    },
  );

  it.skipIf(skip)('keeps a gateway to its own site, in MQTT 3.1.1 and in 5', async () => {
    const heard: string[] = [];
    const ingester = await open(`mqtt://localhost:${ports.own}`, ours('listener'));
    ingester.on('message', (topic) => heard.push(topic));
    await ingester.subscribeAsync('#', { qos: 1 });
    for (const protocolVersion of [4, 5] as const) {
      heard.length = 0;
      const gateway = await open(plain(), { ...harbour, protocolVersion });
      await gateway.publishAsync('coldrounds/1/harbour/chiller-1/water', 'x', { qos: 1 });
      // MQTT 5 has an answer for it (0x87, not authorized), 3.1.1 has none: it is acknowledged and goes nowhere.
      const foreign = gateway.publishAsync('coldrounds/1/mall/chiller-1/water', 'x', { qos: 1 });
      if (protocolVersion === 5) await expect(foreign).rejects.toMatchObject({ code: 0x87 });
      else await foreign;
      await gateway.publishAsync('coldrounds/1/harbour/chiller-2/water', 'x', { qos: 1 });
      await until('the messages', async () => heard.some((topic) => topic.includes('chiller-2')));
      expect(heard).toEqual(['coldrounds/1/harbour/chiller-1/water', 'coldrounds/1/harbour/chiller-2/water']);
      await gateway.endAsync(true);
    }
    // What a person finds in its log, as the page of gateways says.
    expect(log).toMatch(/Denied PUBLISH from harbour\.1 .*coldrounds\/1\/mall\/chiller-1\/water/);
    expect(log).toMatch(/not authorised/);
  });

  it.skipIf(skip)('gives a gateway nothing to read, and not the session of another by its name', async () => {
    const ingester = await open(`mqtt://localhost:${ports.own}`, { ...ours('ingest-one'), clean: false });
    const read: string[] = [];
    const gateway = await open(plain(), { ...harbour, clientId: 'ingest-one', clean: false });
    gateway.on('message', (topic) => read.push(topic));
    await gateway.subscribeAsync(['coldrounds/#', '$SYS/#'], { qos: 1 }).catch(() => {});
    const other = await open(plain(), mall);
    await ingester.subscribeAsync('coldrounds/#', { qos: 1 });
    const came = new Promise((resolve) => ingester.once('message', resolve));
    await other.publishAsync('coldrounds/1/mall/chiller-1/water', 'x', { qos: 1 });
    await came;
    // Answered after whatever it was sent before.
    await gateway.publishAsync('coldrounds/1/harbour/chiller-1/water', 'x', { qos: 1 });
    expect(read).toEqual([]);
    expect(ingester.connected).toBe(true);
  });

  it.skipIf(skip)(
    'takes new keys and a new certificate without dropping sessions, and disconnects who was revoked',
    async () => {
      await until('the key', async () => (await refusalOf(plain(), mall)) === null);
      const ingester = await open(`mqtt://localhost:${ports.own}`, { ...ours('ingest-two'), clean: false });
      await ingester.subscribeAsync('coldrounds/#', { qos: 1 });
      await ingester.endAsync();
      const staying = await open(secure(), { ...mall, ca: ca() });
      await staying.publishAsync('coldrounds/1/mall/chiller-1/before', 'x', { qos: 1 });
      const leaving = await open(plain(), harbour);
      const revoked_ms = performance.now();
      const more = { user: 'harbour.3', site: 'harbour', hash: await hashOfPassword('another') };
      await hand([{ ...keys[0], hash: null }, ...keys.slice(1), more]);
      await hasClosed(leaving);
      expect(performance.now() - revoked_ms).toBeLessThan(60_000);
      expect(await refusalOf(plain(), harbour)).toMatch(/Not authorized/);
      expect(await refusalOf(plain(), { username: 'harbour.3', password: 'another' })).toBeNull();
      const shown = () =>
        new Promise<string>((resolve, reject) => {
          const socket = connectTls({ port: ports.tls, host: 'localhost', ca: ca() }, () => {
            resolve(socket.getPeerCertificate().serialNumber);
            socket.destroy();
          }).once('error', reject);
        });
      const before = await shown();
      await place(await authority.issue());
      await until('the new certificate', async () => (await shown()) !== before);
      // The gateway that stayed never noticed, and the ingester's session has kept what it sent.
      expect(staying.connected).toBe(true);
      await staying.publishAsync('coldrounds/1/mall/chiller-1/after', 'x', { qos: 1 });
      // Heard from the first packet on, which may come together with the answer to the connection.
      const kept: string[] = [];
      const again = mqtt.connect(`mqtt://localhost:${ports.own}`, { ...ours('ingest-two'), clean: false });
      clients.push(again);
      again.on('message', (topic) => kept.push(topic.split('/').at(-1)!));
      await until('what was kept', async () => kept.includes('after'));
      expect(kept).toEqual(['before', 'after']);
    },
  );

  it.skipIf(skip)(
    'is entered by TLS with a certificate of the operator only, by gateways and by the ingester',
    async () => {
      await hand(keys);
      await until('the key', async () => (await refusalOf(secure(), { ...harbour, ca: ca() })) === null);
      const stranger = (await certificateAuthority('Stranger')).certificate;
      expect(await refusalOf(secure(), { ...harbour, ca: stranger })).toMatch(/certificate/);
      expect(await refusalOf(secure(), { ...harbour, password: 'wrong', ca: ca() })).toMatch(
        /Not authorized/,
      );
      const heard: string[] = [];
      const states: string[] = [];
      const client = new AcknowledgingClient(
        {
          ...{ url: secure(), clientId: 'ingest-tls', username: own.user, password: own.password, ca: ca() },
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
      client.start();
      await until('the connection', async () => states.includes('Connected over MQTT 5.'));
      const gateway = await open(secure(), { ...harbour, ca: ca() });
      await gateway.publishAsync('coldrounds/1/harbour/chiller-1/water', 'x', { qos: 1 });
      await until('the message', async () => heard.length === 1);
      await client.stop();
    },
  );

  it.skipIf(skip)(
    'reads its files again where the server itself may tell it, and starts again with the keys it had',
    async () => {
      await stopBroker();
      await startBroker();
      expect(await refusalOf(plain(), harbour)).toBeNull();
      // As on a server without the script: Mosquitto reads the folder itself.
      const direct = join(folder, 'own');
      const more = [...keys, { user: 'mall.2', site: 'mall', hash: await hashOfPassword('two') }];
      expect(await writeMosquittoFiles(direct, own, more)).toBe(true);
      for (const name of ['acl', 'passwords']) await chmod(join(direct, name), 0o644);
      await reloadMosquitto(join(direct, 'mosquitto.pid'));
      await until(
        'the key',
        async () => (await refusalOf(plain(), { username: 'mall.2', password: 'two' })) === null,
      );
      await expect(reloadMosquitto(join(folder, 'tls/server.crt'))).rejects.toThrow(/no process number/);
    },
  );
});
