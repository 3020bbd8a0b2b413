/**
 * Fifty gateways in one process: each publishes a single sample of each of its circuits in turn, every ten seconds a
 * round, some late, some twice, some unreadable. Told by its parent to stop, it answers with what the broker took.
 *
 * MQTT_URL, UNITS, GATEWAYS, RATE (messages a second over all), SILENT (number of the gateway that stops after half a
 * minute; 0: none), HISTORY_S (start of the past days that a tenth of the gateways sends besides, each of its circuits
 * an hour at a time, so that none of them has finished before the run has; 0: none)
 */
import mqtt from 'mqtt';
import { setTimeout as delay } from 'node:timers/promises';

const { MQTT_URL, UNITS, GATEWAYS, RATE, SILENT, HISTORY_S } = process.env as Record<string, string>;
const units = Number(UNITS);
const gateways = Number(GATEWAYS);
const rate = Number(RATE);
const silent = Number(SILENT);
const history_s = Number(HISTORY_S ?? 0);

/** Fixed, so that each run sends the same. */
let state = 42;
const uniform = () => (state = (state * 48_271) % 2_147_483_647) / 2_147_483_647;

const clients = await Promise.all(
  Array.from({ length: gateways }, (_, g) =>
    mqtt.connectAsync(MQTT_URL, { clientId: `scale-gateway-${g + 1}`, clean: false, reconnectPeriod: 500 }),
  ),
);
for (const client of clients) client.on('error', () => {});

const circuits = units * 2;
const sent = {
  messages: 0,
  rows: 0,
  duplicates: 0,
  late: 0,
  bad: 0,
  acknowledged: 0,
  historyPacks: 0,
  historyRows: 0,
};
const late: { topic: string; payload: string; due_ms: number; gateway: number }[] = [];
let open = 0;
let stopping = false;

function publish(gateway: number, topic: string, payload: string): void {
  open++;
  sent.messages++;
  clients[gateway].publish(topic, payload, { qos: 1 }, (error) => {
    open--;
    if (!error) sent.acknowledged++;
  });
}

function sample(circuit: number, time_s: number): string {
  const wave = Math.sin(time_s / 30 + circuit);
  return JSON.stringify([
    { bt: time_s, n: 'suction-pressure', u: 'Pa', v: Math.round(250_000 + 3000 * wave) },
    { n: 'suction-temperature', u: 'Cel', v: Number((11 + wave).toFixed(2)) },
    { n: 'valve-opening', u: '%', v: Number((45 + 3 * wave).toFixed(1)) },
    { n: 'discharge-pressure', u: 'Pa', v: Math.round(1_150_000 + 3000 * wave) },
    { n: 'discharge-temperature', u: 'Cel', v: Number((62 + wave).toFixed(2)) },
    { n: 'liquid-temperature', u: 'Cel', v: Number((38 + 0.1 * wave).toFixed(2)) },
    { n: 'superheat-setpoint', u: 'K', v: 6 },
    { n: 'compressor-load', u: '%', v: Number((60 + 5 * wave).toFixed(1)) },
  ]);
}

const pack_s = 3600;
/** A tenth of the gateways, from the eleventh on: the silent one is none of them. */
const loading = Array.from({ length: circuits }, (_, circuit) => circuit).filter((circuit) => {
  const gateway = Math.floor(circuit / 2) % gateways;
  return gateway >= 10 && gateway < 10 + gateways / 10;
});
/** Each of their circuits is heard of so often, s. */
const historyEvery_s = 600;

/** Sends what of the past is due by now: circuit after circuit, an hour of each in turn. */
function publishHistory(elapsed_s: number): void {
  const wanted = (elapsed_s / historyEvery_s) * loading.length;
  while (sent.historyPacks < wanted && open < 20 * rate) {
    const circuit = loading[sent.historyPacks % loading.length];
    const from_s = history_s + pack_s * Math.floor(sent.historyPacks / loading.length);
    const unit = Math.floor(circuit / 2) + 1;
    const gateway = (unit - 1) % gateways;
    const steps = Array.from({ length: pack_s / 10 }, (_, i) =>
      sample(circuit, from_s + 10 * i).slice(1, -1),
    );
    sent.historyPacks++;
    sent.historyRows += steps.length;
    // A base time holds for what follows it, so samples are put together as they are.
    publish(
      gateway,
      `coldrounds/1/site-${gateway + 1}/unit-${unit}/circuits/${(circuit % 2) + 1}`,
      `[${steps.join(',')}]`,
    );
  }
}

process.on('message', (message) => {
  if (message === 'stop') stopping = true;
});
const started_ms = Date.now();
let due = 0;
process.send?.('ready');
for (let next = 0; !stopping;) {
  const now_ms = Date.now();
  // A broker that is away is not flooded when it is back: what a gateway cannot send it holds, up to a bound.
  const wanted = Math.min(((now_ms - started_ms) / 1000) * rate - due, 4 * rate);
  if (open < 20 * rate)
    for (let i = 0; i < wanted; i++) {
      due++;
      const circuit = next++ % circuits;
      const unit = Math.floor(circuit / 2) + 1;
      const gateway = (unit - 1) % gateways;
      if (silent === gateway + 1 && now_ms - started_ms > 30_000) continue;
      const topic = `coldrounds/1/site-${gateway + 1}/unit-${unit}/circuits/${(circuit % 2) + 1}`;
      const payload = sample(circuit, Math.round(now_ms / 10) / 100);
      const chance = uniform();
      if (chance < 0.001) {
        sent.bad++;
        publish(gateway, topic, payload.slice(0, -3));
        continue;
      }
      sent.rows++;
      if (chance < 0.011) {
        sent.late++;
        late.push({ topic, payload, due_ms: now_ms + 30_000, gateway });
        continue;
      }
      publish(gateway, topic, payload);
      if (chance < 0.021) {
        sent.duplicates++;
        publish(gateway, topic, payload);
      }
    }
  if (history_s > 0) publishHistory((now_ms - started_ms) / 1000);
  while (late.length > 0 && late[0].due_ms < now_ms) {
    const message = late.shift()!;
    publish(message.gateway, message.topic, message.payload);
  }
  await delay(20);
}
for (const message of late) publish(message.gateway, message.topic, message.payload);
for (let i = 0; i < 600 && open > 0; i++) await delay(100);
process.send?.({ sent: { ...sent, open } });
for (const client of clients) client.end(true);
await delay(200);
process.exit(0);
