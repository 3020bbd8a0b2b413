import mqtt, { type IClientOptions, type MqttClient } from 'mqtt';

/** A client that tries once, and is left to its test. Rejects with what the broker or TLS said. */
export const connectOnce = (url: string, options: IClientOptions = {}): Promise<MqttClient> =>
  mqtt.connectAsync(url, { reconnectPeriod: 0, connectTimeout: 60_000, ...options }, false);

/** The same, with all topics that it is sent, also what a session kept for it and sends right after it is let in. */
export async function connectAndRead(
  url: string,
  options: IClientOptions,
): Promise<{ client: MqttClient; topics: string[] }> {
  const client = mqtt.connect(url, { reconnectPeriod: 0, connectTimeout: 60_000, ...options });
  const topics: string[] = [];
  client.on('message', (topic) => topics.push(topic));
  await new Promise<void>((resolve, reject) => {
    client.once('connect', () => resolve());
    client.once('error', reject);
  });
  return { client, topics };
}

/** What a broker or TLS answers who tries to come in; null: it lets them in. */
export async function refusalOf(url: string, options: IClientOptions = {}): Promise<string | null> {
  try {
    await (await connectOnce(url, options)).endAsync(true);
    return null;
  } catch (error) {
    return (error as Error).message;
  }
}

export const hasClosed = (client: MqttClient): Promise<void> =>
  !client.connected ? Promise.resolve() : new Promise((resolve) => client.once('close', () => resolve()));
