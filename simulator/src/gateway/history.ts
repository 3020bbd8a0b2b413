import { step_s } from '../physics/unit/unit-state.js';
import { historyOfTests_days } from '../scenario.js';
import {
  collectDayOfTests,
  collectStep,
  longestRows,
  selfTestTime,
  settledRun,
  siteDay,
  type UnitRun,
} from './fleet-run.js';
import type { Gateway, Progress } from './gateway.js';
import { sendBackup, sendCircuits, sendClosings, sendLate, sendWater, type Troubles } from './send.js';
import { sendUnreadable } from './unreadable.js';

const day_s = 86_400;
const packRows = 3600 / step_s;
/** The newest part of the history is sent for all units first, so that there is something to judge early. */
const newest_s = day_s;
const settle_s = 6 * 3600;
const newestTests_days = 60;

/** Runs on to `to_s`, sending a pack per hour of the circuits and one per six hours of water and modules. */
export async function runAndSend(
  gateway: Gateway,
  run: UnitRun,
  to_s: number,
  troubles: Troubles,
  progress: Progress,
  stopped: () => boolean,
): Promise<void> {
  const { link, modules } = gateway;
  while (run.state.time_s < to_s && !stopped()) {
    collectStep(run, modules);
    if (longestRows(run) < packRows && run.state.time_s < to_s) continue;
    progress.samples += await sendCircuits(run, link, troubles);
    if (run.water.length >= 360 || run.state.time_s >= to_s) {
      await sendWater(run, link, troubles);
      await sendBackup(run, link, troubles);
    }
    progress.closings += await sendClosings(run, link, troubles);
  }
}

/**
 * Sends the self-tests of the site's days from `first` to before `end`, with the readings around each. The readings go
 * first, so that a test's temperature is known when the test is judged. Tests older than the store is promised are left.
 */
async function sendTests(
  gateway: Gateway,
  run: UnitRun,
  first: number,
  end: number,
  troubles: Troubles,
  progress: Progress,
  stopped: () => boolean,
): Promise<void> {
  const oldest_s = troubles.now_s - historyOfTests_days * day_s;
  for (let day = first; day < end && !stopped(); day++)
    collectDayOfTests(run, gateway.modules, day, oldest_s, troubles.now_s);
  await sendBackup(run, gateway.link, troubles);
  progress.closings += await sendClosings(run, gateway.link, troubles);
}

/**
 * Sends the history before `end_s` as backlog: first the newest day of all units, then the newest tests, then the days
 * before, oldest first, in turn. Returns the runs as they stand at `end_s`, for the live part.
 */
export async function sendHistory(
  gateways: readonly Gateway[],
  end_s: number,
  days: number,
  troubles: Troubles,
  progress: Progress,
  stopped: () => boolean,
): Promise<UnitRun[]> {
  const units = gateways.length;
  const parts = units * (days + 1);
  let done = 0;
  const part = () => (progress.share = ++done / parts);
  const newestFrom_s = end_s - Math.min(newest_s, days * day_s);
  const live: UnitRun[] = [];
  for (const gateway of gateways) {
    if (stopped()) return live;
    const run = settledRun(gateway.unit, newestFrom_s, settle_s);
    live.push(run);
    await runAndSend(gateway, run, end_s, troubles, progress, stopped);
    part();
  }
  await sendLate(troubles);
  await sendUnreadable(gateways, troubles);
  for (let i = 0; i < units; i++) {
    const today = siteDay(gateways[i].unit, end_s);
    await sendTests(gateways[i], live[i], today - newestTests_days, today + 1, troubles, progress, stopped);
    part();
  }
  if (days <= 1) return live;
  const older = gateways.map(({ unit }) => settledRun(unit, end_s - days * day_s, day_s));
  const tests = Math.ceil((historyOfTests_days - newestTests_days) / (days - 1));
  for (let day = days; day > 1; day--) {
    for (let i = 0; i < units && !stopped(); i++) {
      await runAndSend(gateways[i], older[i], end_s - (day - 1) * day_s, troubles, progress, stopped);
      const newest = siteDay(gateways[i].unit, end_s) - newestTests_days - (days - day) * tests;
      const first = Math.max(newest - tests, siteDay(gateways[i].unit, end_s) - historyOfTests_days);
      await sendTests(gateways[i], live[i], first, newest, troubles, progress, stopped);
      part();
    }
  }
  await sendLate(troubles);
  return live;
}

/** Self-tests that fall into (from, to]. */
export function collectTests(gateway: Gateway, run: UnitRun, from_s: number, to_s: number): void {
  for (let day = siteDay(gateway.unit, from_s); day <= siteDay(gateway.unit, to_s); day++) {
    const started_s = selfTestTime(gateway.unit, day);
    if (started_s <= from_s || started_s > to_s) continue;
    for (let module = 0; module < gateway.unit.modules.length; module++) {
      const closing = gateway.modules.selfTest(module, day);
      if (closing) run.closings.push({ module, closing });
    }
  }
}
