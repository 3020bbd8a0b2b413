import { readFileSync } from 'node:fs';
import { z } from 'zod';
import type { VariableProblem } from './secret-files.js';

/** How the ingester reaches the broker. */
export interface MqttConfig {
  url: string;
  username?: string;
  password?: string;
  /** Certificates (PEM) by which the broker's has to be signed, with `mqtts://`; left out: those that Node.js trusts. */
  ca?: string;
  clientId: string;
  /** Group of a shared subscription, where several ingesters share the load. */
  sharedGroup?: string;
}

/** Where the keys of gateways are handed to a broker. */
export interface KeysConfig {
  /** The embedded broker of the same run. */
  embedded: { folder: string; listens: string[] } | null;
  /** Mosquitto: folder of its password and access files, and whom to tell. */
  mosquitto: { folder: string; pidFile: string | null; own: { user: string; password: string } } | null;
}

export const brokerVariables = {
  MQTT_USERNAME: z.string().optional(),
  MQTT_PASSWORD: z.string().optional(),
  MQTT_CA_FILE: z.string().optional(),
  CLIENT_ID: z
    .string()
    .regex(/^[A-Za-z0-9-]{1,64}$/, 'must be 1 to 64 letters, digits or hyphens')
    .default('coldrounds-ingest'),
  SHARED_GROUP: z
    .string()
    .regex(/^[A-Za-z0-9-]{1,64}$/, 'must be 1 to 64 letters, digits or hyphens')
    .optional(),
  MOSQUITTO_FILES: z.string().optional(),
  MOSQUITTO_PID_FILE: z.string().optional(),
  // Set by the embedded run for its server.
  EMBEDDED_GATEWAYS_DIR: z.string().optional(),
  EMBEDDED_BROKER_LISTENS: z.string().optional(),
};

type Read = z.output<z.ZodObject<typeof brokerVariables>> & { MQTT_URL?: string };

/** Null: no broker is set. */
export function mqttOf(read: Read, problems: VariableProblem[]): MqttConfig | null {
  if (read.MQTT_URL === undefined) return null;
  return {
    url: read.MQTT_URL,
    username: read.MQTT_USERNAME,
    password: read.MQTT_PASSWORD,
    ca:
      read.MQTT_CA_FILE === undefined
        ? undefined
        : certificatesOf(read.MQTT_URL, read.MQTT_CA_FILE, problems),
    clientId: read.CLIENT_ID,
    sharedGroup: read.SHARED_GROUP,
  };
}

function certificatesOf(url: string, path: string, problems: VariableProblem[]): string | undefined {
  const complain = (reason: string) => void problems.push({ variable: 'MQTT_CA_FILE', reason });
  if (!/^(mqtts|wss):/.test(url)) {
    complain('is only of use where MQTT_URL begins with mqtts:// or wss://');
    return undefined;
  }
  try {
    const text = readFileSync(path, 'utf8');
    if (!text.includes('-----BEGIN CERTIFICATE-----')) complain('holds no certificate as PEM');
    return text;
  } catch {
    complain('names a file that Coldrounds cannot read');
    return undefined;
  }
}

export function keysOf(read: Read, problems: VariableProblem[]): KeysConfig {
  const { MOSQUITTO_FILES: folder, MQTT_USERNAME: user, MQTT_PASSWORD: password } = read;
  // Mosquitto's files name everybody who may sign in there, and so Coldrounds itself too.
  if (folder !== undefined && (user === undefined || password === undefined))
    problems.push({
      variable: 'MOSQUITTO_FILES',
      reason: 'needs MQTT_USERNAME and MQTT_PASSWORD, by which Coldrounds itself signs in',
    });
  if (folder === undefined && read.MOSQUITTO_PID_FILE !== undefined)
    problems.push({ variable: 'MOSQUITTO_PID_FILE', reason: 'needs MOSQUITTO_FILES' });
  return {
    embedded:
      read.EMBEDDED_GATEWAYS_DIR === undefined
        ? null
        : {
            folder: read.EMBEDDED_GATEWAYS_DIR,
            listens: (read.EMBEDDED_BROKER_LISTENS ?? '').split(',').filter((address) => address !== ''),
          },
    mosquitto:
      folder === undefined
        ? null
        : {
            ...{ folder, pidFile: read.MOSQUITTO_PID_FILE ?? null },
            own: { user: user ?? '', password: password ?? '' },
          },
  };
}
