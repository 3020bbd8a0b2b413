import { access, constants, mkdir } from 'node:fs/promises';
import { createServer } from 'node:net';
import { resolve } from 'node:path';
import { z } from 'zod';
import { StartError } from './start-error.js';

/** What the embedded run reads from the environment; the server's own settings are checked by the server. */
export interface EmbeddedSettings {
  port: number;
  host: string;
  mqttPort: number;
  mqttHost: string;
  /** The broker's second port, with TLS; null: it has none. */
  mqttTls: { certFile: string; keyFile: string; port: number; host: string } | null;
  dataDir: string;
  databaseUrl: string | null;
  mqttUrl: string | null;
  /** Whether the invented fleet is simulated and published. */
  demo: boolean;
  demoDays: number;
}

const port = (fallback: number) =>
  z.coerce
    .number()
    .int('must be a port number')
    .min(1, 'must be a port number')
    .max(65535, 'must be a port number')
    .default(fallback);

const schema = z.object({
  PORT: port(8080),
  HOST: z.string().min(1).default('127.0.0.1'),
  MQTT_PORT: port(1883),
  MQTT_HOST: z.string().min(1).default('127.0.0.1'),
  MQTT_TLS_CERT: z.string().optional(),
  MQTT_TLS_KEY: z.string().optional(),
  MQTT_TLS_PORT: port(8883),
  // Whoever has a certificate made wants others than this machine to connect.
  MQTT_TLS_HOST: z.string().min(1).default('0.0.0.0'),
  DATA_DIR: z.string().min(1).default('data'),
  DATABASE_URL: z
    .string()
    .regex(/^postgres(ql)?:\/\//, 'must be an address that begins with postgresql://')
    .optional(),
  MQTT_URL: z
    .string()
    .regex(/^(mqtts?|wss?):\/\//, 'must be an address that begins with mqtt:// or mqtts://')
    .optional(),
  DEMO: z.enum(['on', 'off'], 'must be on or off').optional(),
  DEMO_DAYS: z.coerce
    .number('must be a number of days')
    .int()
    .min(1, 'must be 1 to 30')
    .max(30, 'must be 1 to 30')
    .default(7),
});

export function readEmbeddedSettings(environment: NodeJS.ProcessEnv): EmbeddedSettings {
  const given = Object.fromEntries(Object.entries(environment).filter(([, value]) => value !== ''));
  const parsed = schema.safeParse(given);
  if (!parsed.success) {
    const lines = parsed.error.issues.map((issue) => `${issue.path.join('.')} ${issue.message}`);
    throw new StartError(`Correct these environment variables: ${lines.join('; ')}.`);
  }
  const values = parsed.data;
  const { MQTT_TLS_CERT: certFile, MQTT_TLS_KEY: keyFile } = values;
  if ((certFile === undefined) !== (keyFile === undefined))
    throw new StartError('Set MQTT_TLS_CERT and MQTT_TLS_KEY together: the certificate and its private key.');
  return {
    port: values.PORT,
    host: values.HOST,
    mqttPort: values.MQTT_PORT,
    mqttHost: values.MQTT_HOST,
    mqttTls:
      certFile === undefined || keyFile === undefined
        ? null
        : {
            ...{ certFile: resolve(certFile), keyFile: resolve(keyFile) },
            ...{ port: values.MQTT_TLS_PORT, host: values.MQTT_TLS_HOST },
          },
    dataDir: resolve(values.DATA_DIR),
    databaseUrl: values.DATABASE_URL ?? null,
    mqttUrl: values.MQTT_URL ?? null,
    // Invented data goes to somebody's own broker only when asked for.
    demo: values.DEMO ? values.DEMO === 'on' : !values.MQTT_URL,
    demoDays: values.DEMO_DAYS,
  };
}

export async function requireWritable(folder: string): Promise<void> {
  try {
    await mkdir(folder, { recursive: true });
    await access(folder, constants.W_OK);
  } catch {
    throw new StartError(
      `Coldrounds cannot write to the data folder ${folder}. Set DATA_DIR to a folder it can write to.`,
    );
  }
}

export async function requireFreePort(wanted: number, host: string, variable: string): Promise<void> {
  await new Promise<void>((free, taken) => {
    const probe = createServer();
    probe.once('error', (error: NodeJS.ErrnoException) =>
      taken(
        new StartError(
          error.code === 'EADDRINUSE'
            ? `Port ${wanted} is in use. Set ${variable} to a free port, or stop the program that uses it.`
            : `Port ${wanted} on ${host} cannot be opened (${error.code}): set ${variable} to another.`,
        ),
      ),
    );
    probe.listen(wanted, host, () => probe.close(() => free()));
  });
}

/** A port that is free now, for what only this run's own parts connect to. */
export async function findFreePort(): Promise<number> {
  return new Promise((found, failed) => {
    const probe = createServer();
    probe.once('error', failed);
    probe.listen(0, '127.0.0.1', () => {
      const address = probe.address();
      probe.close(() => found(typeof address === 'object' && address ? address.port : 0));
    });
  });
}
