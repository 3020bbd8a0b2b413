import { describe, expect, it } from 'vitest';
import { ConfigurationError, readConfig } from './config.js';

const good = { DATABASE_URL: 'postgres://host/db', MQTT_URL: 'mqtt://host' };

describe('readConfig', () => {
  it('fills in what has a safe default', () => {
    expect(readConfig(good)).toMatchObject({
      port: 8080,
      host: '127.0.0.1',
      roles: ['ingest', 'assess', 'api'],
      retention_days: 800,
    });
  });

  it('names every bad variable at once and never shows a value', () => {
    const secret = 'hunter-secret-value';
    const bad = {
      DATABASE_URL: secret,
      MQTT_URL: `http://${secret}`,
      PORT: secret,
      ROLES: secret,
      LOG_LEVEL: secret,
    };
    let thrown: unknown;
    try {
      readConfig(bad);
    } catch (error) {
      thrown = error;
    }
    expect(thrown).toBeInstanceOf(ConfigurationError);
    const error = thrown as ConfigurationError;
    expect(error.problems.map(({ variable }) => variable).sort()).toEqual(Object.keys(bad).sort());
    expect(error.message).not.toContain(secret);
  });

  it('names a missing database and a missing broker together', () => {
    expect(() => readConfig({})).toThrow(
      /DATABASE_URL: must be set[\s\S]*MQTT_URL: must be set for the role ingest/,
    );
  });

  it('needs no broker where nothing is ingested', () => {
    expect(readConfig({ DATABASE_URL: good.DATABASE_URL, ROLES: 'api,assess' }).mqtt).toBeNull();
  });

  it('takes an empty variable as not set', () => {
    expect(readConfig({ ...good, PORT: '' }).port).toBe(8080);
  });

  it('keeps readings for ever when asked', () => {
    expect(readConfig({ ...good, RETENTION_DAYS: 'forever' })).toMatchObject({
      retention_days: null,
      readingsRetention_days: null,
    });
    expect(readConfig({ ...good, READINGS_RETENTION_DAYS: '28' })).toMatchObject({
      retention_days: 800,
      readingsRetention_days: 28,
    });
    expect(() => readConfig({ ...good, RETENTION_DAYS: '-3' })).toThrow(
      /RETENTION_DAYS: must be a whole number/,
    );
  });
});
