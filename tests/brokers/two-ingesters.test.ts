import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { answeringEdgeNode, valveOpening } from '../support/edge-node.js';
import type { Part } from '../support/parts/process.js';
import { until } from '../support/publish.js';
import { isMosquittoInstalled } from './is-installed.js';
import { openThroughMosquitto, packs, type ThroughMosquitto } from './through-mosquitto.js';

const skip = !isMosquittoInstalled();

const statusOf = (part: Part) =>
  new Promise<{ rows: number; messages: number }>((resolve) => {
    part.process.once('message', (answer) => resolve((answer as { status: never }).status));
    part.process.send('status');
  });

describe(`two ingesters at one Mosquitto${skip ? ' (skipped: mosquitto is not installed)' : ''}`, () => {
  let through: ThroughMosquitto;
  beforeAll(async () => {
    if (!skip) through = await openThroughMosquitto();
  });
  afterAll(() => through?.close());

  it.skipIf(skip)('share the messages, and each row is there once', async () => {
    const pair = await Promise.all(
      ['ingest-one', 'ingest-two'].map((CLIENT_ID) =>
        through.startIngester({ SHARED_GROUP: 'coldrounds', CLIENT_ID }),
      ),
    );
    await through.publish(packs(400));
    await until('all rows', async () => (await through.stored()) === 40_000);
    const shares = await Promise.all(pair.map(statusOf));
    expect(shares[0].messages + shares[1].messages).toBe(400);
    for (const share of shares) expect(share.messages).toBeGreaterThan(40);
  });

  it.skipIf(skip)(
    'have one take Sparkplug, and the other once that one is killed, which asks for the births',
    async () => {
      await through.empty();
      const node = { group: 'Site A', edge: 'gateway-1' };
      await through.database.query('update unit set sparkplug = $1 where id = 1', [
        JSON.stringify([
          { ...node, metric: 'EXV', stream: 'circuits', number: 1, quantity: 'valve-opening', unit: '%' },
        ]),
      ]);
      const group = { SHARED_GROUP: 'coldrounds', SPARKPLUG: 'on' };
      const first = await through.startIngester({ ...group, CLIENT_ID: 'ingest-one' });
      const gateway = await answeringEdgeNode(through.address, node);
      const sentUntil = async (what: string, done: () => Promise<boolean>) =>
        until(what, async () => {
          gateway.publishNodeData({ metrics: [valveOpening()] });
          return done();
        });
      await sentUntil('a reading', async () => (await through.stored()) > 0);
      await through.startIngester({ ...group, CLIENT_ID: 'ingest-two' });
      await first.kill();
      const before = gateway.births;
      await sentUntil('its births', () => Promise.resolve(gateway.births > before));
      const rows = await through.stored();
      await sentUntil('a further reading', async () => (await through.stored()) > rows);
      gateway.stop();
      // Back once, to give back what the broker holds for it.
      await through.startIngester({ ...group, CLIENT_ID: 'ingest-one' });
      await through.empty();
      await through.database.query(`update unit set sparkplug = '[]'`);
    },
  );

  it.skipIf(skip)('lose nothing of the share of one that leaves, which gives it back', async () => {
    await through.empty();
    const group = { SHARED_GROUP: 'leavers' };
    const [leaver] = await Promise.all(
      ['ingest-five', 'ingest-six'].map((CLIENT_ID) => through.startIngester({ ...group, CLIENT_ID })),
    );
    const all = packs(800);
    await through.publish(all.slice(0, 200));
    const publishing = through.publish(all.slice(200, 600));
    await leaver.stop();
    await publishing;
    await through.publish(all.slice(600));
    await until('all rows', async () => (await through.stored()) === 80_000);
    const { rowCount } = await through.database.query(`select from ingester where client_id = 'ingest-five'`);
    expect(rowCount).toBe(0);
  });
});
