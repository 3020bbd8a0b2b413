import { z } from 'zod';
import { brokerVariables, keysOf, mqttOf, type KeysConfig, type MqttConfig } from './broker.js';
import { coldOf, coldVariables, type ColdConfig } from './cold.js';
import {
  mailOf,
  mailVariables,
  openIdOf,
  openIdVariables,
  type MailConfig,
  type OpenIdConfig,
} from './outside.js';
import { withSecretFiles, type VariableProblem } from './secret-files.js';

export { withSecretFiles };
export type { ColdConfig, KeysConfig, MailConfig, MqttConfig, OpenIdConfig };

/** The variables cannot be used; one line per variable, never with its value, which may be a secret. */
export class ConfigurationError extends Error {
  override name = 'ConfigurationError';
  constructor(readonly problems: VariableProblem[]) {
    super(
      ['Correct these environment variables:']
        .concat(problems.map(({ variable, reason }) => `  ${variable}: ${reason}`))
        .join('\n'),
    );
  }
}

export const roles = ['ingest', 'assess', 'api'] as const;
export type Role = (typeof roles)[number];

const days = z
  .string()
  .regex(/^([1-9]\d{0,4}|forever)$/, 'must be a whole number of days, or "forever"')
  .transform((text) => (text === 'forever' ? null : Number(text)));

const wholeNumber = (minimum: number, maximum: number) =>
  z
    .string()
    .refine((text) => /^\d{1,6}$/.test(text) && Number(text) >= minimum && Number(text) <= maximum, {
      error: `must be a whole number, ${minimum} to ${maximum}`,
    })
    .transform(Number);

const url = (protocols: string[]) =>
  z.string().refine(
    (text) => {
      try {
        return protocols.includes(new URL(text).protocol);
      } catch {
        return false;
      }
    },
    { error: `must be an address that begins with ${protocols.map((name) => `${name}//`).join(' or ')}` },
  );

const variables = z.object({
  DATABASE_URL: url(['postgres:', 'postgresql:']),
  MQTT_URL: url(['mqtt:', 'mqtts:', 'ws:', 'wss:']).optional(),
  ...brokerVariables,
  SPARKPLUG: z.enum(['on', 'off'], { error: 'must be on or off' }).default('on'),
  SPARKPLUG_HOST_ID: z
    .string()
    .regex(/^[^+#/]{1,64}$/, 'must be 1 to 64 characters without + # and /')
    .optional(),
  PORT: z.coerce
    .number({ error: 'must be a port number, 0 to 65535' })
    .int()
    .min(0)
    .max(65_535)
    .default(8080),
  HOST: z.string().min(1).default('127.0.0.1'),
  ROLES: z
    .string()
    .transform((text) => text.split(',').map((name) => name.trim()))
    .pipe(
      z
        .array(z.enum(roles, { error: `must be one or more of ${roles.join(', ')}, separated by commas` }))
        .min(1),
    )
    .default([...roles]),
  FLEET_FILE: z.string().optional(),
  DEMO: z.enum(['on', 'off'], { error: 'must be on or off' }).default('off'),
  PUBLIC_URL: url(['http:', 'https:']).optional(),
  TRUSTED_PROXIES: z
    .string()
    .regex(/^[0-9A-Za-z:./, ]+$/, 'must be addresses or networks, separated by commas')
    .optional(),
  STATIC_DIR: z.string().optional(),
  ...mailVariables,
  WEBHOOKS_TO_PRIVATE_ADDRESSES: z.enum(['on', 'off'], { error: 'must be on or off' }).default('off'),
  WEBHOOK_HOSTS: z
    .string()
    .regex(/^[0-9A-Za-z.:-]+( *, *[0-9A-Za-z.:-]+)*$/, 'must be names of hosts, separated by commas')
    .optional(),
  ...openIdVariables,
  RETENTION_DAYS: days.default(800),
  READINGS_RETENTION_DAYS: days.optional(),
  ...coldVariables,
  UNREAD_RETENTION_DAYS: days.default(30),
  ASSESS_CONCURRENCY: wholeNumber(1, 64).default(2),
  STUDY_MEMORY_MB: wholeNumber(0, 65_536).default(600),
  LOG_LEVEL: z
    .enum(['fatal', 'error', 'warn', 'info', 'debug', 'trace', 'silent'], {
      error: 'must be one of fatal, error, warn, info, debug, trace, silent',
    })
    .default('info'),
});

export interface Config {
  databaseUrl: string;
  mqtt: MqttConfig | null;
  keys: KeysConfig;
  /** Takes Sparkplug B too; with a `hostId` it says that it is there as a host application. Null: it does not. */
  sparkplug: { hostId?: string } | null;
  port: number;
  host: string;
  roles: Role[];
  fleetFile?: string;
  /** The run shows the invented fleet: on loopback it opens without a password, as an invented person. */
  demo: boolean;
  /** Address under which browsers reach the server, where a proxy stands before it. */
  publicUrl?: string;
  /** Proxies whose word on the sender's address is taken. */
  trustedProxies?: string;
  staticDir?: string;
  /** Null: nothing is sent by e-mail. */
  mail: MailConfig | null;
  /** Webhooks may also call addresses that are not of the public internet, and without TLS. */
  webhooksToPrivate: boolean;
  /** The only hosts that webhooks may be at; null: any. */
  webhookHosts: readonly string[] | null;
  /** Null: nobody signs in by OpenID Connect. */
  openId: OpenIdConfig | null;
  /** Of what was found; null: for ever. */
  retention_days: number | null;
  /** Of samples, which take most of the room; by default as long as what was found from them. */
  readingsRetention_days: number | null;
  /** Where readings are moved to when they are old; null: nowhere. */
  cold: ColdConfig | null;
  unreadRetention_days: number | null;
  assessConcurrency: number;
  /** Of daily figures that a process of the role `api` keeps for questions of the fleet. */
  studyMemory_bytes: number;
  logLevel: string;
}

/** Reads all variables at once and names every bad one. An empty variable counts as not set. */
export function readConfig(environment: Record<string, string | undefined>): Config {
  const { variables: given, problems } = withSecretFiles(environment);
  const set = Object.fromEntries(Object.entries(given).filter(([, value]) => value !== ''));
  const result = variables.safeParse(set);
  if (!result.success) {
    const seen = new Set<string>(problems.map(({ variable }) => variable.replace(/_FILE$/, '')));
    for (const issue of result.error.issues) {
      const variable = String(issue.path[0]);
      if (seen.has(variable)) continue;
      seen.add(variable);
      problems.push({ variable, reason: set[variable] === undefined ? 'must be set' : issue.message });
    }
    if (!seen.has('ROLES') && !seen.has('MQTT_URL') && needsBroker(set) && !set.MQTT_URL)
      problems.push({ variable: 'MQTT_URL', reason: 'must be set for the role ingest' });
    throw new ConfigurationError(problems);
  }
  const read = result.data;
  if (read.ROLES.includes('ingest') && read.MQTT_URL === undefined)
    problems.push({ variable: 'MQTT_URL', reason: 'must be set for the role ingest' });
  const mqtt = mqttOf(read, problems);
  const keys = keysOf(read, problems);
  const mail = mailOf(read, problems);
  const openId = openIdOf(read, problems);
  if (openId !== null && read.PUBLIC_URL === undefined && !isLoopback(read.HOST))
    problems.push({
      variable: 'PUBLIC_URL',
      reason: 'must be set where OPENID_ISSUER is and HOST lets others in',
    });
  const readingsRetention_days =
    read.READINGS_RETENTION_DAYS === undefined ? read.RETENTION_DAYS : read.READINGS_RETENTION_DAYS;
  const cold = coldOf(read, readingsRetention_days, problems);
  if (problems.length > 0) throw new ConfigurationError(problems);
  return {
    databaseUrl: read.DATABASE_URL,
    mqtt,
    keys,
    sparkplug: read.SPARKPLUG === 'off' ? null : { hostId: read.SPARKPLUG_HOST_ID },
    port: read.PORT,
    host: read.HOST,
    roles: [...new Set(read.ROLES)],
    fleetFile: read.FLEET_FILE,
    demo: read.DEMO === 'on',
    publicUrl: read.PUBLIC_URL,
    trustedProxies: read.TRUSTED_PROXIES,
    staticDir: read.STATIC_DIR,
    mail,
    webhooksToPrivate: read.WEBHOOKS_TO_PRIVATE_ADDRESSES === 'on',
    webhookHosts: read.WEBHOOK_HOSTS?.toLowerCase().split(/ *, */) ?? null,
    openId,
    retention_days: read.RETENTION_DAYS,
    readingsRetention_days,
    cold,
    unreadRetention_days: read.UNREAD_RETENTION_DAYS,
    assessConcurrency: read.ASSESS_CONCURRENCY,
    studyMemory_bytes: 1e6 * read.STUDY_MEMORY_MB,
    logLevel: read.LOG_LEVEL,
  };
}

/** Whether `host` is this machine and nothing else. */
export const isLoopback = (host: string): boolean =>
  host === 'localhost' || host === '::1' || host === '[::1]' || /^127(\.\d{1,3}){3}$/.test(host);

const needsBroker = (set: Record<string, string | undefined>) =>
  (set.ROLES ?? roles.join(',')).includes('ingest');
