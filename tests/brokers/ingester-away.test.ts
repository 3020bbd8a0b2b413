import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { until } from '../support/publish.js';
import { isMosquittoInstalled } from './is-installed.js';
import { openThroughMosquitto, packs, type ThroughMosquitto } from './through-mosquitto.js';

const skip = !isMosquittoInstalled();

describe(`an ingester that is away from Mosquitto${skip ? ' (skipped: mosquitto is not installed)' : ''}`, () => {
  let through: ThroughMosquitto;
  beforeAll(async () => {
    if (!skip) through = await openThroughMosquitto();
  });
  afterAll(() => through?.close());

  it.skipIf(skip)(
    'loses nothing: a second takes what is new, and its return brings what it held',
    async () => {
      const group = { SHARED_GROUP: 'survivors' };
      const [victim] = await Promise.all(
        ['ingest-three', 'ingest-four'].map((CLIENT_ID) => through.startIngester({ ...group, CLIENT_ID })),
      );
      const publishing = through.publish(packs(600));
      await until('the first rows', async () => (await through.stored()) > 1_000);
      await victim.kill();
      await publishing;
      // The broker keeps what it had given to the dead one for its return, so it has to come back for these.
      await through.startIngester({ ...group, CLIENT_ID: 'ingest-three' });
      await until('all rows', async () => (await through.stored()) === 60_000);
    },
  );

  it.skipIf(skip)('has its queue taken over once it is counted as dead', async () => {
    await through.empty();
    const group = { SHARED_GROUP: 'heirs', DEAD_AFTER_S: '4' };
    const [victim] = await Promise.all(
      ['ingest-seven', 'ingest-eight'].map((CLIENT_ID) => through.startIngester({ ...group, CLIENT_ID })),
    );
    const publishing = through.publish(packs(600));
    await until('the first rows', async () => (await through.stored()) > 1_000);
    await victim.kill();
    await publishing;
    await until('all rows', async () => (await through.stored()) === 60_000);
    await until(
      'the dead one to be forgotten',
      async () =>
        (await through.database.query(`select from ingester where client_id = 'ingest-seven'`)).rowCount ===
        0,
    );
  });

  it.skipIf(skip)('is told how many messages a broker with a short queue has dropped', async () => {
    await through.empty();
    await through.stopBroker();
    await through.startBroker({ QUEUED: '100' });
    const settings = { CLIENT_ID: 'ingest-short' };
    const part = await through.startIngester(settings);
    const told = async () =>
      (
        await through.database.query<{ lost: number; counter: number }>(
          'select lost::float8 as lost, counter::float8 as counter from broker_loss',
        )
      ).rows[0];
    await until('the counter', async () => (await told()) !== undefined);
    const before = (await told()).lost;
    await part.kill();
    await through.publish(packs(1000));
    await through.startIngester(settings);
    await until('the loss', async () => (await told()).lost > before);
    // What did not come is told as lost; the broker's counter also has what it dropped for others. Both go on for a while.
    const came = async () => (await through.stored()) / 100;
    await until('all that is lost', async () => (await told()).lost - before >= 1000 - (await came()));
    expect(await came()).toBeLessThan(1000);
    await through.stopBroker();
    await through.startBroker();
  });

  it.skipIf(skip)(
    'gets what came meanwhile, by MQTT 3.1.1 too and over a restart of the broker',
    async () => {
      await through.empty();
      const settings = { CLIENT_ID: 'ingest-old', MQTT_PROTOCOL: '4' };
      const part = await through.startIngester(settings);
      await part.kill();
      await through.publish(packs(1));
      await through.stopBroker();
      await through.startBroker();
      await through.startIngester(settings);
      await until('the rows', async () => (await through.stored()) === 100);
    },
  );
});
