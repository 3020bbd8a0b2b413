import { mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { Command, InvalidArgumentError } from 'commander';
import type { Registry } from '@coldrounds/core/telemetry';
import { createModuleSide, settledRun, type UnitRun } from './gateway/fleet-run.js';
import type { Gateway, Progress } from './gateway/gateway.js';
import { collectTests, runAndSend, sendHistory } from './gateway/history.js';
import { createFlow, openLink, type Flow } from './gateway/link.js';
import { runLive } from './gateway/live.js';
import type { Troubles } from './gateway/send.js';
import { loadState, saveState, type SimulatorState } from './gateway/state.js';
import { step_s } from './physics/unit/unit-state.js';
import { buildFleet, type FleetUnit, type Scenario } from './scenario.js';
import { fleetTruth } from './truth.js';

const number =
  (least: number, most: number) =>
  (text: string): number => {
    const value = Number(text);
    if (!(value >= least && value <= most))
      throw new InvalidArgumentError(`a number from ${least} to ${most}.`);
    return value;
  };

const program = new Command('simulator')
  .description('Publishes an invented fleet of chillers over MQTT, as the gateways of its sites would.')
  .option('--fleet <file>', 'registry of the fleet', 'seeds/fleet.json')
  .option('--scenario <file>', 'physics, weather, load and faults of the fleet', 'seeds/scenario.json')
  .option('--state <folder>', 'where the simulator remembers what it has sent', 'data/simulator')
  .option('--truth <file>', 'where the truth is written; default: in the state folder')
  .option('--seed <number>', 'seed of all random parts', number(0, 2 ** 31), 20_260)
  .option('--days <number>', 'days of history on the first start', number(1, 28), 7)
  .option(
    '--speed <factor>',
    'send live time this many times faster, from 6 h ago until it has caught up',
    number(1, 1000),
    1,
  )
  .option('--in-flight <number>', 'greatest number of messages not yet acknowledged', number(1, 1000), 64)
  .option('--mqtt-version <version>', '4 (MQTT 3.1.1) or 5', number(4, 5), 4)
  .option('--history-only', 'end when the history is sent', false);

interface Options {
  fleet: string;
  scenario: string;
  state: string;
  truth?: string;
  seed: number;
  days: number;
  speed: number;
  inFlight: number;
  mqttVersion: number;
  historyOnly: boolean;
}

const say = (text: string) => process.stdout.write(`${text}\n`);

function readJson<T>(file: string): T {
  try {
    return JSON.parse(readFileSync(file, 'utf8')) as T;
  } catch (error) {
    throw new Error(`${file} cannot be read: ${(error as Error).message}`, { cause: error });
  }
}

/** Ends on a signal: what waits is woken, and everything that asks `stopped` winds up. */
function stopSwitch() {
  let stopping = false;
  let wake = () => undefined as void;
  for (const signal of ['SIGTERM', 'SIGINT'] as const) {
    process.on(signal, () => {
      stopping = true;
      wake();
    });
  }
  return {
    stopped: () => stopping,
    sleep: (milliseconds: number) =>
      new Promise<void>((resolve) => {
        const timer = setTimeout(resolve, milliseconds);
        wake = () => {
          clearTimeout(timer);
          resolve();
        };
      }),
  };
}

type StopSwitch = ReturnType<typeof stopSwitch>;

/** What one run of the program works with. */
interface Setting {
  options: Options;
  scenario: Scenario;
  known: SimulatorState | null;
  seed: number;
  /** The moment to which the times of faults are relative, and the end of the history, s. */
  now_s: number;
  end_s: number;
  fleet: FleetUnit[];
}

function settingOf(options: Options): Setting {
  const registry = readJson<Registry>(options.fleet);
  const scenario = readJson<Scenario>(options.scenario);
  const known = loadState(options.state);
  const start_s = Math.floor(Date.now() / 1000 / step_s) * step_s;
  const end_s = start_s - (options.speed > 1 ? 6 * 3600 : 0);
  const seed = known?.seed ?? options.seed;
  const now_s = known?.now_s ?? end_s;
  const fleet = buildFleet(registry, scenario, seed, now_s);
  const truthFile = options.truth ?? join(options.state, 'truth.json');
  mkdirSync(dirname(truthFile), { recursive: true });
  writeFileSync(truthFile, JSON.stringify(fleetTruth(fleet, seed, now_s), null, 1));
  return { options, scenario, known, seed, now_s, end_s, fleet };
}

async function run(options: Options): Promise<void> {
  const stop = stopSwitch();
  const setting = settingOf(options);
  const { fleet, scenario, known, seed, now_s, end_s } = setting;
  const broker = {
    url: process.env.MQTT_URL ?? 'mqtt://localhost:1883',
    username: process.env.MQTT_USERNAME,
    password: process.env.MQTT_PASSWORD,
    protocolVersion: options.mqttVersion as 4 | 5,
  };
  const flow = createFlow(options.inFlight);
  const circuits = fleet.reduce((sum, unit) => sum + unit.model.circuits.length, 0);
  say(`simulating ${fleet.length} units with ${circuits} circuits; broker ${broker.url}`);
  const gateways: Gateway[] = await Promise.all(
    fleet.map(async (unit) => ({
      unit,
      modules: createModuleSide(unit),
      link: await openLink(unit.name, broker, flow),
    })),
  );
  const troubles: Troubles = { scenario: scenario.gateway, now_s, seed, late: [] };
  const runs = await sendPast(setting, gateways, troubles, flow, stop.stopped);
  const state: SimulatorState = { version: 1, seed, now_s, lastSent_s: known?.lastSent_s ?? {} };
  if (!stop.stopped()) {
    for (const { unit } of gateways) state.lastSent_s[unit.name] = end_s;
    while (flow.underWay > 0 && !stop.stopped()) await stop.sleep(50);
    if (!stop.stopped()) {
      saveState(options.state, state);
      // Who has started it as a part of a whole waits for this.
      process.send?.({ historySentUntil_s: end_s });
    }
    // A gateway that fell silent for good: the broker publishes its will, and nothing more comes.
    for (const { unit, link } of gateways) if (unit.silent) link.drop();
    if (!options.historyOnly && !stop.stopped()) {
      await sendPresent(setting, gateways, runs, troubles, state, stop);
      saveState(options.state, state);
    }
  }
  await closeAll(gateways, flow);
  say('simulator ended');
}

/** Sends the history, or after a restart what was missed, and reports progress every five seconds. */
async function sendPast(
  { options, known, end_s }: Setting,
  gateways: readonly Gateway[],
  troubles: Troubles,
  flow: Flow,
  stopped: () => boolean,
): Promise<UnitRun[]> {
  const progress: Progress = { samples: 0, closings: 0, share: 0 };
  const began = Date.now();
  const seconds = () => Math.round((Date.now() - began) / 1000);
  const counts = () =>
    `${progress.samples.toLocaleString('en')} samples and ${progress.closings.toLocaleString('en')} closings`;
  const report = setInterval(
    () => say(`history ${Math.floor(progress.share * 100)} %: ${counts()}, ${seconds()} s`),
    5000,
  );
  try {
    return known
      ? await sendGap(gateways, known, end_s, troubles, progress, stopped)
      : await sendHistory(gateways, end_s, options.days, troubles, progress, stopped);
  } finally {
    clearInterval(report);
    const rest = flow.underWay;
    if (!stopped())
      say(
        `history sent: ${counts()} in ${seconds()} s${rest > 0 ? `, ${rest} messages under way` : ''}; live from here`,
      );
  }
}

/** Publishes as time goes by, until stopped, and remembers each minute what was sent. */
async function sendPresent(
  { options, end_s }: Setting,
  gateways: readonly Gateway[],
  runs: readonly UnitRun[],
  troubles: Troubles,
  state: SimulatorState,
  stop: StopSwitch,
): Promise<void> {
  const liveStart = Date.now();
  const clock = () => {
    const real_s = Date.now() / 1000;
    return options.speed > 1 ? Math.min(real_s, end_s + (real_s - liveStart / 1000) * options.speed) : real_s;
  };
  let saved = Date.now();
  await runLive({
    gateways,
    runs,
    troubles,
    clock,
    liveFrom_s: end_s,
    stopped: stop.stopped,
    sleep: stop.sleep,
    onTick: (sent) => {
      for (const [unit, time_s] of sent) state.lastSent_s[unit] = time_s;
      if (Date.now() - saved > 60_000) {
        saved = Date.now();
        saveState(options.state, state);
      }
    },
  });
}

/** What is under way gets two seconds; what is lost then is sent again after the next start. */
async function closeAll(gateways: readonly Gateway[], flow: Flow): Promise<void> {
  const deadline = Date.now() + 2000;
  while (flow.underWay > 0 && Date.now() < deadline) await new Promise((resolve) => setTimeout(resolve, 50));
  await Promise.race([
    Promise.all(gateways.map(({ link }) => link.close())),
    new Promise((resolve) => setTimeout(resolve, 3000)),
  ]);
}

/** After a restart: what happened since the last time sent, at most 7 days, as backlog. */
async function sendGap(
  gateways: readonly Gateway[],
  known: SimulatorState,
  end_s: number,
  troubles: Troubles,
  progress: Progress,
  stopped: () => boolean,
) {
  const runs = [];
  for (const [i, gateway] of gateways.entries()) {
    const last_s = known.lastSent_s[gateway.unit.name] ?? 0;
    const from_s = Math.min(end_s, Math.max(last_s, end_s - 7 * 86_400));
    const run = settledRun(gateway.unit, from_s, 86_400);
    collectTests(gateway, run, from_s, end_s);
    await runAndSend(gateway, run, end_s, troubles, progress, stopped);
    runs.push(run);
    progress.share = (i + 1) / gateways.length;
  }
  return runs;
}

program.parse();
run(program.opts<Options>()).then(
  () => process.exit(0),
  (error: Error) => {
    process.stderr.write(`simulator: ${error.message}\n`);
    process.exit(1);
  },
);
