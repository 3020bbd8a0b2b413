import { newClient } from 'sparkplug-client';
import type { UMetric, UPayload } from 'sparkplug-payload/lib/sparkplugbpayload.js';
import { until } from './publish.js';

/** A metric as it is now; every time another moment. */
export const valveOpening = (): UMetric => ({
  ...{ name: 'EXV', type: 'Float', value: 40, timestamp: Date.now() as never },
});

/** An edge node by a published client library that announces itself, and again whenever it is asked to. */
export async function answeringEdgeNode(
  url: string,
  { group, edge }: { group: string; edge: string },
): Promise<{ births: number; publishNodeData: (payload: UPayload) => void; stop: () => void }> {
  const client = newClient({
    ...{
      serverUrl: url,
      username: '',
      password: '',
      groupId: group,
      edgeNode: edge,
      clientId: `edge-${edge}`,
    },
  });
  const node = {
    births: 0,
    publishNodeData: (payload: UPayload) =>
      client.publishNodeData({ timestamp: Date.now() as never, ...payload }),
    stop: () => client.stop(),
  };
  const bear = () => {
    node.births += 1;
    const rebirth: UMetric = {
      name: 'Node Control/Rebirth',
      type: 'Boolean',
      value: false,
      timestamp: Date.now() as never,
    };
    client.publishNodeBirth({ timestamp: Date.now() as never, metrics: [rebirth, valveOpening()] });
  };
  client.on('error', () => {});
  client.on('birth', bear);
  client.on('ncmd', ({ metrics }) => {
    if (metrics?.some(({ name, value }) => name === 'Node Control/Rebirth' && value === true)) bear();
  });
  await until('the edge node', () => Promise.resolve(node.births > 0));
  return node;
}
