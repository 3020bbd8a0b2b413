import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, describe, expect, it } from 'vitest';
import { readSeen } from '../../gateways/handing-over/embedded-files.js';
import { refusalReasons } from '../../storage/gateways/refusal-reasons.js';
import { refusalLine, SeenLog, type Refused } from './seen.js';
import { WaitingConnections } from './waiting-connections.js';

const wrong: Refused = { reason: 'wrong-password', gateway: 'mall.1', address: '10.0.0.5' };

describe('what the broker has seen', () => {
  let folder: string | undefined;
  afterEach(async () => {
    if (folder !== undefined) await rm(folder, { recursive: true });
    folder = undefined;
  });

  it('is kept by gateway and reason, and goes on after a restart', async () => {
    folder = await mkdtemp(join(tmpdir(), 'coldrounds-seen-'));
    const options = { folder, say: () => {}, now_ms: () => Date.UTC(2026, 10, 28) };
    const first = await SeenLog.open(options);
    first.letIn('mall.1');
    first.refused(wrong);
    first.refused({ reason: 'no-key', gateway: null, address: '10.0.0.9' });
    await first.close();
    const second = await SeenLog.open(options);
    second.refused(wrong);
    await second.close();
    const at = '2026-11-28T00:00:00.000Z';
    expect(await readSeen(folder)).toEqual({
      gateways: {
        'mall.1': {
          connectedAt: at,
          refusals: { 'wrong-password': { count: 2, lastAt: at, detail: '10.0.0.5' } },
        },
      },
      strangers: { 'no-key': { count: 1, lastAt: at, detail: '10.0.0.9' } },
    });
  });

  it('is said at once, then once a minute with how often it was, so that nobody fills the log', async () => {
    let now_ms = 0;
    const said: string[] = [];
    const log = await SeenLog.open({ folder: null, say: (line) => said.push(line), now_ms: () => now_ms });
    for (let i = 0; i < 1_000; i++) log.refused(wrong);
    expect(said).toHaveLength(1);
    expect(said[0]).toMatch(/the gateway mall\.1 at 10\.0\.0\.5 gave a wrong password/);
    log.refused({ ...wrong, reason: 'revoked' });
    expect(said).toHaveLength(2);
    now_ms = 60_000;
    log.refused(wrong);
    expect(said[2]).toMatch(/\(999 times more before\)$/);
    // From ever new addresses too there is an end of what is remembered.
    for (let i = 0; i < 5_000; i++) log.refused({ reason: 'no-key', gateway: null, address: `10.1.0.${i}` });
    expect(log.totals().strangers['no-key']!.count).toBe(5_000);
    expect(said.length).toBeLessThan(2 + 61);
    await log.close();
  });

  it('is a sentence for each reason, on one line whatever the topic', () => {
    for (const reason of refusalReasons) {
      const line = refusalLine({ reason, gateway: null, address: '10.0.0.9', topic: 'a\nb\u2028c' });
      expect(line).toContain('10.0.0.9');
      expect(line).not.toMatch(/[\n\u2028]/);
    }
    expect(refusalLine({ reason: 'mqtt-5', gateway: null, address: '10.0.0.9' })).toMatch(
      /asked for MQTT 5.*set it to 3\.1\.1.*or use Mosquitto/,
    );
    expect(refusalLine({ ...wrong, reason: 'other-site', topic: 'coldrounds/1/harbour/x/water' })).toMatch(
      /mall\.1 .*published on coldrounds\/1\/harbour\/x\/water/,
    );
  });
});

describe('connections that wait to be let in', () => {
  it('are bounded for each address by itself; those that were let in or are gone do not count', () => {
    const waiting = new WaitingConnections(2);
    const [one, two] = [waiting.enter('a'), waiting.enter('a')];
    expect(waiting.enter('a')).toBeNull();
    const other = waiting.enter('b');
    expect(other).not.toBeNull();
    one!();
    one!();
    const three = waiting.enter('a');
    expect(three).not.toBeNull();
    expect(waiting.enter('a')).toBeNull();
    two!();
    three!();
    expect([waiting.enter('a'), waiting.enter('a')]).not.toContain(null);
  });
});
