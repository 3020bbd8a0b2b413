import { readFileSync } from 'node:fs';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import mqtt from 'mqtt';
import type { Registry } from '@coldrounds/core/telemetry';
import { type RunningBroker, startBroker } from '../../backend/server/src/embedded/broker.js';
import { createModuleSide, settledRun } from '../../simulator/src/gateway/fleet-run.js';
import { createFlow, openLink, type GatewayLink } from '../../simulator/src/gateway/link.js';
import { runLive } from '../../simulator/src/gateway/live.js';
import { buildFleet, type Scenario } from '../../simulator/src/scenario.js';
import { freePort } from '../support/store/database.js';
import { until } from '../support/publish.js';

const read = <T>(path: string) => JSON.parse(readFileSync(new URL(path, import.meta.url), 'utf8')) as T;
const registry = read<Registry>('../../seeds/fleet.json');
const scenario = read<Scenario>('../../seeds/scenario.json');
const name = 'quenara-heights/library-1';

interface Heard {
  topic: string;
  payload: string;
}

/** Everything that a broker is told, with what it retained. */
async function listen(url: string): Promise<{ heard: Heard[]; end: () => Promise<void> }> {
  const client = await mqtt.connectAsync(url, {
    clientId: `listener-${Math.random()}`,
    reconnectPeriod: 200,
  });
  const heard: Heard[] = [];
  client.on('message', (topic, payload) => heard.push({ topic, payload: payload.toString() }));
  await client.subscribeAsync('coldrounds/#', { qos: 1 });
  return { heard, end: () => client.endAsync(true) };
}

const timesOf = (payload: string): number[] => {
  const records = JSON.parse(payload) as { bt?: number; t?: number }[];
  const base = records[0].bt ?? 0;
  return records.map(({ t }) => base + (t ?? 0));
};

describe('the embedded broker', () => {
  it('acknowledges nothing before the ingester has subscribed, and then delivers it', async () => {
    const broker = await startBroker({ port: await freePort(), holdUntilSubscribed: 'coldrounds/#' });
    const early = await mqtt.connectAsync(broker.url, { clientId: 'early' });
    const other = await mqtt.connectAsync(broker.url, { clientId: 'other' });
    let acknowledged = false;
    const sent = early
      .publishAsync('coldrounds/1/a/b/water', '[]', { qos: 1 })
      .then(() => (acknowledged = true));
    // Answered after the broker has read what came before it on another connection.
    await other.subscribeAsync('something/else', { qos: 1 });
    expect(acknowledged).toBe(false);
    const { heard, end } = await listen(broker.url);
    await sent;
    await until('the message', async () => heard.some(({ topic }) => topic === 'coldrounds/1/a/b/water'));
    for (const client of [early, other]) await client.endAsync(true);
    await end();
    await broker.stop();
  });
});

describe('a gateway of the simulator', () => {
  let port: number;
  let broker: RunningBroker;
  let links: GatewayLink[];
  beforeEach(async () => {
    port = await freePort();
    broker = await startBroker({ port });
    links = [];
  });
  afterEach(async () => {
    for (const link of links)
      await Promise.race([link.close(), new Promise((done) => setTimeout(done, 1000))]);
    await broker.stop();
  });
  const open = async (protocolVersion: 4 | 5 = 4) => {
    const link = await openLink(name, { url: broker.url, protocolVersion }, createFlow(16));
    links.push(link);
    return link;
  };

  it('asked for MQTT 5 speaks 3.1.1 to a broker that knows no other', async () => {
    const { heard, end } = await listen(broker.url);
    const link = await open(5);
    await link.publish(`coldrounds/1/${name}/water`, '[]');
    await until('the message', async () => heard.some(({ topic }) => topic.endsWith('/water')));
    expect(JSON.parse(heard.find(({ topic }) => topic.endsWith('/presence'))!.payload)[0].vb).toBe(true);
    await end();
  });

  it('keeps what it cannot send while the broker is away, and sends all of it when it is back', async () => {
    const link = await open();
    await broker.stop();
    const sent = ['one', 'two', 'three'];
    for (const text of sent) await link.publish(`coldrounds/1/${name}/circuits/1`, text);
    broker = await startBroker({ port });
    const { heard, end } = await listen(broker.url);
    await until(
      'the three messages',
      async () => heard.filter(({ topic }) => topic.endsWith('circuits/1')).length >= 3,
    );
    const seen = new Set(
      heard.filter(({ topic }) => topic.endsWith('circuits/1')).map(({ payload }) => payload),
    );
    expect([...seen].sort()).toEqual([...sent].sort());
    await end();
  });

  it('is reported gone in an outage by the script, and then sends the whole outage as backlog', async () => {
    const liveFrom_s = Math.floor(Date.UTC(2026, 2, 3, 12) / 1000);
    const minutes = 4;
    const [unit] = buildFleet(registry, scenario, 1, liveFrom_s).filter((one) => one.name === name);
    const troubles = {
      scenario: {
        ...scenario.gateway,
        duplicateFraction: 0,
        lateFraction: 0,
        missingFraction: 0,
        gapsPerDay: 0,
        silences: [],
        unreadable: [],
        liveOutages: [{ unit: name, afterMinutes: 1, minutes }],
      },
      now_s: liveFrom_s,
      seed: 1,
      late: [],
    };
    const { heard, end } = await listen(broker.url);
    const link = await open();
    // A minute of the gateway's time to a second, as `--speed 60` would run.
    const began = Date.now();
    const clock = () => liveFrom_s + ((Date.now() - began) / 1000) * 60;
    const circuit = `coldrounds/1/${name}/circuits/1`;
    const wanted = Array.from({ length: 45 }, (_, i) => liveFrom_s + 10 * (i + 1));
    const got = () =>
      new Set(heard.filter(({ topic }) => topic === circuit).flatMap(({ payload }) => timesOf(payload)));
    await runLive({
      gateways: [{ unit, modules: createModuleSide(unit), link }],
      runs: [settledRun(unit, liveFrom_s, 600)],
      troubles,
      clock,
      liveFrom_s,
      stopped: () => clock() >= liveFrom_s + 8 * 60 && got().has(wanted.at(-1)!),
      sleep: (milliseconds) => new Promise((done) => setTimeout(done, Math.min(milliseconds, 100))),
      onTick: () => {},
    });
    await until('all samples', async () => wanted.every((time_s) => got().has(time_s)));
    const largest = Math.max(
      ...heard.filter(({ topic }) => topic === circuit).map(({ payload }) => new Set(timesOf(payload)).size),
    );
    expect(largest).toBeGreaterThanOrEqual((minutes * 60) / 10);
    const presences = heard
      .filter(({ topic }) => topic.endsWith('/presence'))
      .map(({ payload }) => (JSON.parse(payload) as { vb: boolean }[])[0].vb);
    expect(presences).toEqual([true, false, true]);
    await end();
  });
});
