import mqtt from 'mqtt';
import { newClient } from 'sparkplug-client';
import type { UMetric, UPayload } from 'sparkplug-payload/lib/sparkplugbpayload.js';
import { afterAll, describe, expect, it } from 'vitest';
import type { SparkplugPoint } from '@coldrounds/core';
import { type Database, notify, SessionLock } from '../../backend/server/src/storage/index.js';
import { publishAll, until } from '../support/publish.js';

type Client = ReturnType<typeof newClient>;

/** An edge node by a published client library, with what it was commanded. */
async function edgeNode(url: string, edgeNode: string): Promise<{ client: Client; commands: UPayload[] }> {
  const client = newClient({
    ...{
      serverUrl: url,
      username: '',
      password: '',
      groupId: 'Site A',
      edgeNode,
      clientId: `edge-${edgeNode}`,
    },
  });
  const commands: UPayload[] = [];
  client.on('ncmd', (payload) => commands.push(payload));
  client.on('error', () => {});
  let connected = false;
  client.on('birth', () => (connected = true));
  await until(`the edge node ${edgeNode}`, async () => connected);
  return { client, commands };
}

const metric = (
  name: string,
  value: UMetric['value'],
  type: UMetric['type'],
  more: object = {},
): UMetric => ({
  ...{ name, value, type, timestamp: Date.now() as never },
  ...more,
});
const payload = (metrics: UMetric[]): UPayload => ({ timestamp: Date.now() as never, metrics });
const control = () => metric('Node Control/Rebirth', false, 'Boolean');
/** As after a birth: by alias alone. */
const byAlias = (alias: number, value: UMetric['value'], type: UMetric['type'], more: object = {}): UMetric =>
  ({ alias, value, type, timestamp: Date.now() as never, ...more }) as unknown as UMetric;

const chiller = { group: 'Site A', edge: 'gateway-1', device: 'Chiller' };
const points: SparkplugPoint[] = [
  {
    ...chiller,
    metric: 'Ckt1/Suction Pressure',
    stream: 'circuits',
    number: 1,
    quantity: 'suction-pressure',
    unit: 'psi',
  },
  {
    ...chiller,
    metric: 'Ckt1/Suction Temp',
    stream: 'circuits',
    number: 1,
    quantity: 'suction-temperature',
    unit: '°F',
    scale: 0.1,
  },
  { ...chiller, metric: 'Ckt1/EXV', stream: 'circuits', number: 1, quantity: 'valve-opening', unit: '%' },
  { ...chiller, metric: 'Flow', stream: 'water', quantity: 'flow', unit: 'gpm' },
];
/** All of one moment, so that they make one row. */
const births = (timestamp = Date.now()) =>
  [
    metric('Ckt1/Suction Pressure', 36.3, 'Double', {
      alias: 1,
      properties: { engUnit: { type: 'String', value: 'psig' } },
    }),
    metric('Ckt1/Suction Temp', 428, 'Int16', { alias: 2 }),
    metric('Ckt1/EXV', 45, 'UInt8', { alias: 3 }),
    metric('Flow', 158.5, 'Float', { alias: 4 }),
    metric('Serial', 'none', 'String', { alias: 5 }),
  ].map((one) => ({ ...one, timestamp: timestamp as never }));

/** What a person with such a gateway meets, one after the other, on the service under test. */
export function sparkplugCases(parts: () => { database: Database; url: string; lines: string[] }): void {
  describe('of Sparkplug B', () => {
    const clients: Client[] = [];
    afterAll(() => clients.forEach((client) => client.stop()));
    const open = async (name: string) => {
      const opened = await edgeNode(parts().url, name);
      clients.push(opened.client);
      return opened;
    };
    const query = async <Row extends object>(sql: string, values: unknown[] = []) =>
      (await parts().database.query<Row>(sql, values)).rows;
    const asked = (commands: UPayload[]) =>
      commands.filter(({ metrics }) =>
        metrics?.some(({ name, value }) => name === 'Node Control/Rebirth' && value === true),
      ).length;
    let gateway: Awaited<ReturnType<typeof edgeNode>>;
    const bear = () => {
      gateway.client.publishNodeBirth(payload([control()]));
      gateway.client.publishDeviceBirth('Chiller', payload(births()));
    };

    it('lists an edge node that nobody has registered, with the metrics of its births', async () => {
      await query('truncate reading, water_reading, unread_message');
      gateway = await open('gateway-1');
      bear();
      const device = () =>
        query<{ alive: boolean; metrics: { name: string; unit: string | null }[] }>(
          `select alive, metrics from sparkplug_node where edge_node = 'gateway-1' and device = 'Chiller'`,
        );
      await until('its device', async () => (await device()).length === 1);
      const [{ alive, metrics }] = await device();
      expect(alive).toBe(true);
      expect(metrics[0]).toEqual({
        name: 'Ckt1/Suction Pressure',
        type: 'Double',
        unit: 'psig',
        value: 36.3,
      });
      expect(metrics).toHaveLength(5);
      expect(await query('select from unread_message')).toHaveLength(0);
    });

    it('asks for the births once its metrics are registered, and stores them in SI', async () => {
      const { database } = parts();
      await query('update unit set sparkplug = $1 where id = 1', [JSON.stringify(points)]);
      await notify(database.pool, 'coldrounds_registry');
      await until('the request', async () => asked(gateway.commands) === 1);
      bear();
      await until('the water', async () => (await query('select from water_reading')).length === 1);
      const [reading] = await query<Record<string, number>>(
        'select suction_pressure_pa, suction_temperature_k, valve_opening_pct, superheat_k from reading',
      );
      // 36.3 psi gauge are 250.28 kPa over 101.325; 42.8 F are 6 C; 158.5 US gallons a minute 10 l/s (NIST SP 811).
      expect(reading.suction_pressure_pa / 1000).toBeCloseTo(351.6, 1);
      expect(reading.suction_temperature_k).toBeCloseTo(279.15, 3);
      expect(reading.valve_opening_pct).toBe(45);
      const [{ flow_m3_s }] = await query<{ flow_m3_s: number }>('select flow_m3_s from water_reading');
      expect(flow_m3_s).toBeCloseTo(0.01, 5);
      await until(
        'presence',
        async () => (await query('select from unit where id = 1 and online')).length === 1,
      );
    });

    it('reads data by alias: historical values at their time, none where it is null, and a repeat changes nothing', async () => {
      await query('truncate reading');
      const then = Date.now() - 3_600_000;
      const old = payload([
        byAlias(2, 500, 'Int16', { timestamp: then, isHistorical: true }),
        byAlias(2, 510, 'Int16', { timestamp: then + 10_000, isHistorical: true }),
        byAlias(3, null, 'UInt8', { isNull: true }),
      ]);
      gateway.client.publishDeviceData('Chiller', old);
      gateway.client.publishDeviceData('Chiller', old);
      gateway.client.publishDeviceData('Chiller', payload([byAlias(3, 50, 'UInt8')]));
      await until(
        'the last',
        async () => (await query('select from reading where valve_opening_pct = 50')).length === 1,
      );
      const rows = await query<{ ms: number; k: number | null }>(
        'select extract(epoch from time)::float8 * 1000 as ms, suction_temperature_k::float8 as k from reading order by time',
      );
      expect(rows).toHaveLength(3);
      expect(Math.round(rows[0].ms)).toBe(then);
      // 50.0 F is 10 C.
      expect(rows[0].k).toBeCloseTo(283.15, 2);
      expect(rows[2].k).toBeNull();
    });

    it('keeps whole what it cannot read of a unit, with the reason', async () => {
      gateway.client.publishDeviceData('Chiller', payload([byAlias(2, 9999, 'Int16')]));
      await publishAll(parts().url, [{ topic: 'spBv1.0/Site A/NDATA/gateway-1', payload: 'no Sparkplug' }]);
      const unread = () =>
        query<{ reason: string; detail: string; topic: string }>(
          'select reason, detail, topic from unread_message order by reason',
        );
      await until('both', async () => (await unread()).length === 2);
      const [first, second] = await unread();
      expect(first).toMatchObject({ reason: 'not-sparkplug', topic: 'spBv1.0/Site A/NDATA/gateway-1' });
      expect(second).toMatchObject({
        reason: 'out-of-range',
        topic: 'spBv1.0/Site A/DDATA/gateway-1/Chiller',
      });
      expect(second.detail).toMatch(/^Metric "Ckt1\/Suction Temp": suction-temperature .* outside/);
    });

    it('asks for births where a message is missing, and where data come without any', async () => {
      const gap = await open('gateway-2');
      gap.client.publishNodeBirth(payload([control(), metric('Room', 20, 'Float')]));
      (gap.client as unknown as { seq: number }).seq += 1;
      gap.client.publishNodeData(payload([metric('Room', 21, 'Float')]));
      const unborn = await open('gateway-3');
      unborn.client.publishNodeData(payload([metric('Room', 21, 'Float')]));
      await until('both requests', async () => asked(gap.commands) === 1 && asked(unborn.commands) === 1);
      expect(parts().lines).toContain(
        'Sparkplug: Site A/gateway-2 is asked for its births: a message of it is missing.',
      );
      expect(parts().lines).toContain(
        'Sparkplug: Site A/gateway-3 is asked for its births: its birth is not known.',
      );
      expect([...gap.commands, ...unborn.commands].every(({ metrics }) => metrics?.length === 1)).toBe(true);
    });

    it('has the unit offline once the broker tells that its edge node is gone', async () => {
      // Without a farewell, so that the broker publishes the will.
      const { client } = gateway.client as unknown as { client: mqtt.MqttClient };
      client.options.reconnectPeriod = 0;
      (client as unknown as { reconnecting: boolean }).reconnecting = false;
      client.stream.destroy();
      await until(
        'the death',
        async () => (await query('select from unit where id = 1 and not online')).length === 1,
      );
      const devices = await query('select from sparkplug_node where edge_node = $1 and not alive', [
        'gateway-1',
      ]);
      expect(devices).toHaveLength(2);
      await query(`update unit set sparkplug = '[]' where id = 1`);
    });

    it('is taken by one ingester of several at a time, and by another once that one is gone', async () => {
      const { pool } = parts().database;
      const told: string[] = [];
      const lock = (name: string) =>
        new SessionLock(
          pool,
          'test',
          {
            onHeld: () => told.push(`${name} has it`),
            onLost: () => Promise.resolve(void told.push(`${name} lost it`)),
          },
          50,
        );
      const [first, second] = [lock('first'), lock('second')];
      first.start();
      await until('the first', async () => told.length === 1);
      second.start();
      await first.stop();
      await until('the second', async () => told.includes('second has it'));
      expect(told).toEqual(['first has it', 'first lost it', 'second has it']);
      // Its connection breaks: another, or itself, has it again.
      await query(
        `select pg_terminate_backend(pid) from pg_locks where locktype = 'advisory' and classid = hashtext('coldrounds')::oid
            and objid = hashtext('test')::oid and granted`,
      );
      await until('it again', async () => told.length === 5);
      expect(told.slice(3)).toEqual(['second lost it', 'second has it']);
      await second.stop();
    });

    it('says as a host application that it is there (tck-id-host-topic-phid-birth-payload)', async () => {
      const seen: string[] = [];
      const client = await mqtt.connectAsync(parts().url);
      client.on('message', (_topic, message) => seen.push(message.toString()));
      await client.subscribeAsync('spBv1.0/STATE/coldrounds-test');
      await until('the retained state', async () => seen.length > 0);
      await client.endAsync();
      expect(JSON.parse(seen[0])).toEqual({ online: true, timestamp: expect.any(Number) as number });
    });
  });
}
