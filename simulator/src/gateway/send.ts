import { createRandom, seedOf } from '../physics/random.js';
import type { GatewayScenario } from '../scenario.js';
import type { UnitRun } from './fleet-run.js';
import { topicOf, type GatewayLink } from './link.js';
import {
  circuitColumns,
  condenserColumns,
  encodeBackup,
  encodeClosing,
  encodeRows,
  secondValveColumn,
  waterColumns,
  type Rows,
} from './packs.js';

/** A gateway's imperfections, decided by seed: what is missing, sent twice or sent late. */
export interface Troubles {
  scenario: GatewayScenario;
  now_s: number;
  seed: number;
  /** Packs held back, to be sent after later ones. */
  late: { link: GatewayLink; topic: string; payload: string }[];
}

/** Whether a gateway without memory was silent at a time: those samples are lost. */
export function isSilent(troubles: Troubles, unit: string, time_s: number): boolean {
  return troubles.scenario.silences.some((silence) => {
    const from_s = troubles.now_s - silence.fromDaysAgo * 86_400;
    const to_s = silence.hours === undefined ? Infinity : from_s + silence.hours * 3600;
    return silence.unit === unit && time_s >= from_s && time_s < to_s;
  });
}

/** Samples that never came: single ones, and gaps of 2 to 20 min now and then; the same for the same hour, always. */
function missingIn(troubles: Troubles, unit: string, rows: Rows): (row: number) => boolean {
  const { missingFraction, gapsPerDay } = troubles.scenario;
  const hour = Math.floor(rows.time_s[0] / 3600);
  const random = createRandom(seedOf(troubles.seed, unit, 'missing', hour));
  random.uniform();
  const hasGap = random.uniform() < gapsPerDay / 24;
  const gapFrom_s = hour * 3600 + random.uniform() * 3000;
  const gapTo_s = hasGap ? gapFrom_s + 120 + random.uniform() * 1080 : gapFrom_s;
  const lost = new Set<number>();
  for (let row = 0; row < rows.length; row++) if (random.uniform() < missingFraction) lost.add(row);
  return (row) => {
    const time_s = rows.time_s[row];
    return lost.has(row) || (time_s >= gapFrom_s && time_s < gapTo_s) || isSilent(troubles, unit, time_s);
  };
}

/** Sends and empties what a run has collected of its circuits. */
export async function sendCircuits(run: UnitRun, link: GatewayLink, troubles: Troubles): Promise<number> {
  const { unit } = run;
  let sent = 0;
  for (let i = 0; i < run.circuits.length; i++) {
    const rows = run.circuits[i];
    if (rows.length === 0) continue;
    const stream = `circuits/${unit.model.entry.circuits[i].number}`;
    const pair = unit.model.entry.circuits[i].valve.motors === 2;
    const shown = pair ? { ...rows, values: [...rows.values, rows.values[2]] } : rows;
    const columns = pair ? [...circuitColumns, secondValveColumn] : circuitColumns;
    const payload = encodeRows(
      `${unit.name}/${stream}`,
      columns,
      shown,
      missingIn(troubles, unit.name, rows),
    );
    if (payload) {
      await sendWithTroubles(link, topicOf(unit.name, stream), payload, troubles, rows.time_s[0]);
      sent += rows.length;
    }
    rows.length = 0;
  }
  return sent;
}

/** Sends and empties what a run has collected of water and condenser. */
export async function sendWater(run: UnitRun, link: GatewayLink, troubles: Troubles): Promise<void> {
  const { unit } = run;
  for (const [stream, columns, rows] of [
    ['water', waterColumns, run.water],
    ['condenser', condenserColumns, run.condenser],
  ] as const) {
    const payload = encodeRows(`${unit.name}/${stream}`, columns, rows, (row) =>
      isSilent(troubles, unit.name, rows.time_s[row]),
    );
    if (payload) await link.publish(topicOf(unit.name, stream), payload);
    rows.length = 0;
  }
}

export async function sendBackup(run: UnitRun, link: GatewayLink, troubles: Troubles): Promise<void> {
  const { unit } = run;
  for (let i = 0; i < run.backup.length; i++) {
    const stream = `backup/${unit.modules[i].entry.number}`;
    const readings = run.backup[i].filter(({ time_s }) => !isSilent(troubles, unit.name, time_s));
    const payload = encodeBackup(`${unit.name}/${stream}`, readings);
    if (payload) await link.publish(topicOf(unit.name, stream), payload);
    run.backup[i].length = 0;
  }
}

export async function sendClosings(run: UnitRun, link: GatewayLink, troubles: Troubles): Promise<number> {
  const { unit } = run;
  let sent = 0;
  for (const { module, closing } of run.closings) {
    if (isSilent(troubles, unit.name, closing.started_s)) continue;
    const stream = `backup/${unit.modules[module].entry.number}`;
    await link.publish(
      topicOf(unit.name, `${stream}/closing`),
      encodeClosing(`${unit.name}/${stream}`, closing),
    );
    sent++;
  }
  run.closings.length = 0;
  return sent;
}

async function sendWithTroubles(
  link: GatewayLink,
  topic: string,
  payload: string,
  troubles: Troubles,
  time_s: number,
): Promise<void> {
  const random = createRandom(seedOf(troubles.seed, topic, 'fate', time_s));
  random.uniform();
  const fate = random.uniform();
  const { duplicateFraction, lateFraction } = troubles.scenario;
  if (fate < lateFraction) {
    troubles.late.push({ link, topic, payload });
    if (troubles.late.length < 20) return;
    const held = troubles.late.shift();
    if (held) await held.link.publish(held.topic, held.payload);
    return;
  }
  await link.publish(topic, payload);
  if (fate > 1 - duplicateFraction) await link.publish(topic, payload);
}

/** Sends what was held back. */
export async function sendLate(troubles: Troubles, link?: GatewayLink): Promise<void> {
  const due = troubles.late.filter((held) => !link || held.link === link);
  troubles.late = troubles.late.filter((held) => link && held.link !== link);
  for (const held of due) await held.link.publish(held.topic, held.payload);
}
