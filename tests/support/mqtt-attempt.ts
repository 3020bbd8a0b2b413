import mqtt, { type IClientOptions, type MqttClient } from 'mqtt';

/** A client that tries once, and is left to its test. Rejects with what the broker or TLS said. */
export const connectOnce = (url: string, options: IClientOptions = {}): Promise<MqttClient> =>
  mqtt.connectAsync(url, { reconnectPeriod: 0, connectTimeout: 60_000, ...options }, false);

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
