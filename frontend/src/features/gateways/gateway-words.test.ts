import { describe, expect, it } from 'vitest';
import { brokerWords, refusalWords } from './gateway-words.js';

describe('words about a broker', () => {
  it('say of the embedded one that it speaks MQTT 3.1.1 and not 5', () => {
    for (const listens of [['mqtt://127.0.0.1:1883'], ['mqtt://0.0.0.0:1883', 'mqtts://0.0.0.0:8883']])
      expect(brokerWords({ kind: 'embedded', listens }).join(' ')).toMatch(/MQTT 3\.1\.1, not 5/);
  });

  it('say how others than this machine are let in, and where passwords can be read', () => {
    const [, alone] = brokerWords({
      kind: 'embedded',
      listens: ['mqtt://127.0.0.1:1883', 'mqtt://[::1]:1884'],
    });
    expect(alone).toMatch(/only be reached from this machine.*make a key.*MQTT_TLS_CERT/);
    const [, plain] = brokerWords({ kind: 'embedded', listens: ['mqtt://192.168.1.2:1883'] });
    expect(plain).toMatch(/no TLS/);
    const [, secure] = brokerWords({
      ...{ kind: 'embedded', listens: ['mqtt://127.0.0.1:1883', 'mqtts://0.0.0.0:8883'] },
    });
    expect(secure).toMatch(/by TLS/);
  });

  it('say where keys open nothing, and what Mosquitto does not tell', () => {
    expect(brokerWords({ kind: 'none', listens: [] })[0]).toMatch(/open nothing by themselves/);
    expect(brokerWords({ kind: 'mosquitto', listens: [] })[1]).toMatch(/Denied PUBLISH/);
  });

  it('tell of each refusal with what was refused, and what to do where there is something to do', () => {
    expect(refusalWords({ reason: 'other-site', detail: 'coldrounds/1/mall/x/water' })).toMatch(
      /on coldrounds\/1\/mall\/x\/water.*correct the site/,
    );
    expect(refusalWords({ reason: 'mqtt-5', detail: '10.0.0.9' })).toMatch(/10\.0\.0\.9.*3\.1\.1/);
    expect(refusalWords({ reason: 'wrong-password', detail: '10.0.0.9' })).toMatch(
      /wrong password.*10\.0\.0\.9/,
    );
  });
});
