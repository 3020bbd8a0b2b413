import { saturationTemperature } from '@coldrounds/core';
import type { Browser, Locator } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it, vi } from 'vitest';
import { temporaryFolder } from '../support/store/database.js';
import { connectOnce, hasClosed, refusalOf } from '../support/mqtt-attempt.js';
import { publishAll, until } from '../support/publish.js';
import { violationsOf } from './support/axe.js';
import { fitsWidth, launchBrowser, openPage } from './support/browser.js';
import { removeFolder, startRun, type StartedRun } from './support/embedded-run.js';

// A start makes a database; on a busy machine that takes its time, and none of these tests measures it.
vi.setConfig({ testTimeout: 400_000, hookTimeout: 400_000 });

/** A gateway that was just connected: six hours of one circuit whose superheat is far too low, then nothing more. */
async function inventedGateway(mqttPort: number): Promise<void> {
  const step_s = 10;
  const to_s = Math.floor(Date.now() / 1000);
  const records = Array.from({ length: (6 * 3600) / step_s }, (_, i) => {
    const wave = Math.sin(i / 7);
    const pressure_Pa = 350_000 + 2_000 * wave;
    const t = i * step_s - 6 * 3600;
    const superheat_K = 0.8 + 0.3 * Math.sin(i / 3);
    return [
      { n: 'suction-pressure', u: 'Pa', t, v: Math.round(pressure_Pa) },
      {
        ...{ n: 'suction-temperature', u: 'K', t },
        v: Number((saturationTemperature('R134a', pressure_Pa, 'dew') + superheat_K).toFixed(2)),
      },
      { n: 'valve-opening', u: '%', t, v: Number((45 + 3 * wave).toFixed(1)) },
      { n: 'superheat-setpoint', u: 'K', t, v: 6 },
      { n: 'compressor-load', u: '%', t, v: 80 },
    ];
  }).flat();
  await publishAll(`mqtt://localhost:${mqttPort}`, [
    {
      topic: 'coldrounds/1/town-hall/chiller-1/circuits/1',
      payload: JSON.stringify([{ bt: to_s, ...records[0] }, ...records.slice(1)]),
    },
  ]);
}

describe('a run without the invented fleet', () => {
  let dataDir: string;
  let run: StartedRun;
  let browser: Browser | undefined;
  beforeAll(async () => {
    dataDir = await temporaryFolder('run');
    run = await startRun(dataDir, { DEMO: 'off' });
    await run.printed(/the server is running/);
  });
  afterAll(async () => {
    await browser?.close();
    await run.interrupt();
    await removeFolder(dataDir);
  });

  it('leads from nothing to a ranked unit by the browser alone, in under 60 clicks and fields', async () => {
    browser = await launchBrowser();
    const { page, faults } = await openPage(browser, 1280);
    let steps = 0;
    const click = async (target: Locator) => {
      steps++;
      await target.click();
    };
    const type = async (label: string, text: string) => {
      steps++;
      await page.getByLabel(label, { exact: true }).fill(text);
    };
    const choose = async (label: string, value: string) => {
      steps++;
      await page.getByRole('combobox', { name: label, exact: true }).selectOption(value);
    };
    const link = /http:\/\/localhost:\d+\/join#\S+/;
    await run.printed(link);
    await inventedGateway(run.mqttPort);
    await page.goto(link.exec(run.output())![0]);
    await type('Name', 'A person');
    await type('E-mail', 'person@example.org');
    await type('Password', 'steady-floor-17-over-the-harbour');
    await click(page.getByRole('button', { name: 'Go on' }));
    // The empty round says where to begin.
    await click(page.getByRole('link', { name: 'Heard but not known' }));
    await page.getByText('superheat-setpoint').waitFor();
    expect(await violationsOf(page)).toEqual([]);
    await click(page.getByRole('link', { name: 'Make a site and a unit of town-hall/chiller-1' }));
    await click(page.getByRole('button', { name: 'Add the site' }));
    await page.getByRole('heading', { name: 'A new unit' }).waitFor();
    expect(await page.getByLabel('Name', { exact: true }).inputValue()).toBe('Chiller 1');
    await choose('Refrigerant', 'R134a');
    await type('Cooling capacity', '200');
    await choose('Condenser', 'water');
    await choose('Pressure transducers read', 'absolute');
    expect(await violationsOf(page)).toEqual([]);
    await click(page.getByRole('button', { name: 'Add the unit' }));
    await page.getByRole('heading', { name: 'How it was changed' }).waitFor();
    expect(await violationsOf(page)).toEqual([]);
    await click(page.getByRole('link', { name: 'Round', exact: true }));
    await page.locator('[data-row]').first().waitFor({ timeout: 240_000 });
    expect(await page.getByRole('main').innerText()).toContain('Chiller 1');
    expect(steps).toBeLessThan(60);
    // A key for its gateway, which opens its own site alone, and what it was refused on the same page.
    await page.goto(`${run.address}/registry/town-hall`);
    await page.getByRole('link', { name: 'Keys of its gateways' }).click();
    await page.getByText('No gateway of this site has a key yet.').waitFor();
    await page.getByText(/It speaks MQTT 3\.1\.1, not 5/).waitFor();
    await page.getByLabel('What the gateway is called, or where it stands').fill('Plant room');
    await page.getByRole('button', { name: 'Make a key' }).click();
    const made = page.getByRole('status').locator('code');
    const [username, password] = [await made.nth(0).innerText(), await made.nth(1).innerText()];
    const broker = `mqtt://127.0.0.1:${run.mqttPort}`;
    await until(
      'the key at the broker',
      async () => (await refusalOf(broker, { username, password })) === null,
    );
    const gateway = await connectOnce(broker, { username, password });
    await gateway.publishAsync('coldrounds/1/elsewhere/chiller-1/water', '[]', { qos: 1 });
    await page
      .getByText('It published on coldrounds/1/elsewhere/chiller-1/water')
      .waitFor({ timeout: 120_000 });
    await run.printed(/broker: the gateway town-hall\.1 .*which its key does not open/);
    expect(await refusalOf(broker, { username, password, protocolVersion: 5 })).not.toBeNull();
    await run.printed(/town-hall\.1 .*asked for MQTT 5.*set it to 3\.1\.1/);
    expect(await violationsOf(page)).toEqual([]);
    await page.getByRole('button', { name: `Revoke ${username}` }).click();
    await page.getByRole('button', { name: `Revoke ${username} now` }).click();
    await hasClosed(gateway);
    await page.getByText(/revoked .* by A person/).waitFor();
    // At phone width and in the dark the new pages hold too.
    await page.setViewportSize({ width: 390, height: 844 });
    await page.emulateMedia({ colorScheme: 'dark' });
    for (const path of [
      '/registry',
      '/registry/town-hall',
      '/registry/town-hall/units/chiller-1',
      '/registry/town-hall/gateways',
      '/registry/heard',
      '/registry/table',
    ]) {
      await page.goto(run.address + path);
      await page.getByRole('heading', { level: 1 }).waitFor();
      await page.waitForLoadState('networkidle');
      expect(await fitsWidth(page), path).toBe(true);
      expect(await violationsOf(page), path).toEqual([]);
    }
    expect(faults).toEqual([]);
    await page.close();
  });

  it('says plainly that one part ended, stops the rest and exits with an error', async () => {
    const health = (await (await fetch(`${run.address}/api/health`)).json()) as { status: string };
    expect(health.status).toBeDefined();
    const { execFileSync } = await import('node:child_process');
    execFileSync('pkill', ['-KILL', '-P', String(run.process.pid), '-f', 'bin/serve.js']);
    expect(await run.ended).toBe(1);
    expect(run.output()).toMatch(/the server was ended by SIGKILL/);
    expect(run.output()).toMatch(/Stopping everything else/);
  });
});
