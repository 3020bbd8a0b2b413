import { step_s } from '../physics/unit/unit-state.js';
import { collectStep, longestRows, type UnitRun } from './fleet-run.js';
import type { Gateway } from './gateway.js';
import { collectTests } from './history.js';
import { sendBackup, sendCircuits, sendClosings, sendLate, sendWater, type Troubles } from './send.js';

/** Most rows that a gateway's memory holds before a pack must go: an hour. */
const packRows = 3600 / step_s;

export interface LiveOptions {
  gateways: readonly Gateway[];
  runs: readonly UnitRun[];
  troubles: Troubles;
  /** Simulated time, s since the epoch. */
  clock: () => number;
  liveFrom_s: number;
  stopped: () => boolean;
  sleep: (milliseconds: number) => Promise<void>;
  onTick: (sent: Map<string, number>) => void;
}

/**
 * Publishes as time goes by: every 10 s the circuits, every minute water and modules, a closing when it happens. A
 * gateway whose connection is down by the script collects on and sends a backlog when it is back.
 */
export async function runLive(options: LiveOptions): Promise<void> {
  const { gateways, runs, troubles, clock, stopped, sleep } = options;
  const down = new Set<number>();
  while (!stopped()) {
    const now_s = clock();
    let worked = false;
    const sent = new Map<string, number>();
    for (let i = 0; i < runs.length && !stopped(); i++) {
      const run = runs[i];
      const gateway = gateways[i];
      const from_s = run.state.time_s;
      while (run.state.time_s + step_s <= now_s && longestRows(run) < packRows)
        collectStep(run, gateway.modules);
      if (run.state.time_s === from_s) continue;
      if (gateway.unit.silent) {
        forget(run);
        continue;
      }
      worked = true;
      collectTests(gateway, run, from_s, run.state.time_s);
      if (isDown(options, gateway.unit.name, now_s) && longestRows(run) < packRows) {
        if (!down.has(i)) {
          down.add(i);
          gateway.link.drop();
        }
        continue;
      }
      if (down.delete(i)) gateway.link.reconnect();
      await sendCircuits(run, gateway.link, troubles);
      if (run.water.length > 0) {
        await sendWater(run, gateway.link, troubles);
        await sendBackup(run, gateway.link, troubles);
        await sendLate(troubles, gateway.link);
      }
      await sendClosings(run, gateway.link, troubles);
      sent.set(gateway.unit.name, run.state.time_s);
    }
    options.onTick(sent);
    if (!worked) await sleep(250);
    else if (clock() - now_s < step_s) await sleep(100);
  }
}

function isDown({ troubles, liveFrom_s }: LiveOptions, unit: string, time_s: number): boolean {
  return troubles.scenario.liveOutages.some((outage) => {
    const from_s = liveFrom_s + outage.afterMinutes * 60;
    return outage.unit === unit && time_s >= from_s && time_s < from_s + outage.minutes * 60;
  });
}

/** A gateway without memory that is not there: what it would have read is gone. */
function forget(run: UnitRun): void {
  for (const rows of run.circuits) rows.length = 0;
  run.water.length = 0;
  run.condenser.length = 0;
  for (const readings of run.backup) readings.length = 0;
  run.closings.length = 0;
}
