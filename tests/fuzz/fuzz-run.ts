import { unreadReasons, type CircuitEntry, type SparkplugPoint } from '@coldrounds/core';
import {
  readMessage,
  defaultReadLimits,
  type MessageParts,
} from '../../backend/server/src/ingest/read-message.js';
import type { HeldMessage } from '../../backend/server/src/ingest/receiving/acknowledging-client.js';
import { RelativeTimes } from '../../backend/server/src/ingest/relative-times.js';
import { isSparkplug, SparkplugReader } from '../../backend/server/src/ingest/sparkplug/sparkplug-reader.js';
import { UnitDirectory } from '../../backend/server/src/ingest/unit-directory.js';
import type { IngestRegistry } from '../../backend/server/src/storage/incoming/ingest-registry.js';
import { circuitEntry } from '../support/store/fleet.js';
import { PayloadFuzz } from './payload-fuzz.js';

export interface FuzzOutcome {
  messages: number;
  /** Rows of time steps that were read. */
  rows: number;
  /** How often each reason was given; `read`: nothing was refused. */
  reasons: Map<string, number>;
  /** Messages that broke a promise, the first few. */
  faults: { topic: string; payload: Buffer; fault: string }[];
  faultCount: number;
  rebirths: number;
}

/** A fixed moment: what is too far away in time does not depend on the day. */
const now_s = Date.UTC(2026, 10, 20) / 1000;
const farthest_s = now_s + defaultReadLimits.futureTolerance_s + 3_600 * 24 * 30;

const chiller = (edge: string) => ({ group: 'Site A', edge, device: 'Chiller' });
const pointsOf = (edge: string, number: number): SparkplugPoint[] => [
  {
    ...chiller(edge),
    metric: 'Suction Pressure',
    stream: 'circuits',
    number,
    quantity: 'suction-pressure',
    unit: 'psi',
  },
  {
    ...chiller(edge),
    metric: 'Suction Temp',
    stream: 'circuits',
    number,
    quantity: 'suction-temperature',
    unit: '°F',
    scale: 0.1,
  },
  { ...chiller(edge), metric: 'EXV', stream: 'circuits', number, quantity: 'valve-opening', unit: '%' },
  { ...chiller(edge), metric: 'On', stream: 'backup', number: 1, quantity: 'mains', unit: 'on/off' },
  { ...chiller(edge), metric: 'Text', stream: 'water', quantity: 'flow', unit: 'gpm' },
];

const registry: IngestRegistry = {
  version: 1,
  units: ['chiller-1', 'chiller-2'].map((unit, n) => ({
    ...{
      site: 'harbour',
      unit,
      unitId: n + 1,
      refrigerant: 'R134a',
      altitude_m: 20,
      evaporator: 'dry-expansion' as const,
    },
    ...{ reversible: false, reporting: null },
    circuits: [1, 2].map((number) => ({
      id: 10 * n + number,
      number,
      entry: circuitEntry(number) as CircuitEntry,
    })),
    modules: [{ id: n + 1, number: 1 }],
    sparkplug: [...pointsOf(`gateway-${n}`, 1), ...pointsOf(`gateway-${n + 3}`, 2)].filter(
      ({ stream, edge }) => stream === 'circuits' || edge === `gateway-${n}`,
    ),
  })),
};

/**
 * Has the readers of ingestion read messages of the fuzz, and looks whether they keep their promises: nothing is thrown,
 * what is refused is refused with a known reason and a sentence, and what is read lies within the limits of its sensor
 * and in the time that is kept.
 */
export async function fuzzReaders(
  seed: number,
  count: number,
  each?: (done: number) => void,
): Promise<FuzzOutcome> {
  const fuzz = new PayloadFuzz(seed, now_s);
  const directory = new UnitDirectory(
    () => Promise.resolve(registry),
    5_000,
    () => now_s * 1000,
  );
  const relative = new RelativeTimes(() => Promise.resolve(null));
  const outcome: FuzzOutcome = {
    messages: 0,
    rows: 0,
    reasons: new Map(),
    faults: [],
    faultCount: 0,
    rebirths: 0,
  };
  const sparkplug = new SparkplugReader({ requestRebirth: () => outcome.rebirths++, say: () => {} });
  let waiting = 0;
  for (let n = 0; n < count; n++) {
    const message = held(fuzz.next(), now_s * 1000 + n);
    try {
      const ready = isSparkplug(message)
        ? sparkplug.take(message, defaultReadLimits.maximumPayload)
        : [message];
      if (n % 64 === 0) ready.push(...sparkplug.expire(message.receivedAt_ms + 3_000));
      waiting += 1 - ready.length;
      for (const one of ready) {
        const parts = isSparkplug(one)
          ? await sparkplug.read(one, directory, defaultReadLimits)
          : await readMessage(one, directory, defaultReadLimits, relative);
        note(outcome, one, parts);
      }
    } catch (error) {
      fault(outcome, message, `threw: ${(error as Error).stack}`);
    }
    each?.(n + 1);
  }
  if (waiting > 20_000)
    fault(outcome, held({ topic: '', payload: Buffer.alloc(0) }, 0), `${waiting} messages still wait`);
  return outcome;
}

const held = (
  { topic, payload }: { topic: string; payload: Buffer },
  receivedAt_ms: number,
): HeldMessage => ({
  ...{ topic, payload, receivedAt_ms, delivery: null, mayBeRedelivered: false, connectedAt_ms: 1 },
  acknowledge: () => {},
});

function fault(outcome: FuzzOutcome, { topic, payload }: HeldMessage, what: string): void {
  outcome.faultCount++;
  if (outcome.faults.length < 20) outcome.faults.push({ topic, payload, fault: what });
}

const known = new Set<string>(unreadReasons);

function note(outcome: FuzzOutcome, message: HeldMessage, parts: MessageParts): void {
  outcome.messages++;
  const unread = parts.unread ?? [];
  for (const reason of unread.length === 0 ? ['read'] : unread.map((row) => row.reason))
    outcome.reasons.set(reason, (outcome.reasons.get(reason) ?? 0) + 1);
  for (const { reason, detail, payload, topic } of unread) {
    if (!known.has(reason)) fault(outcome, message, `unknown reason ${reason}`);
    if (!isSentence(detail)) fault(outcome, message, `no sentence: ${JSON.stringify(detail)}`);
    if (payload !== message.payload || topic.length > 1_000) fault(outcome, message, 'is not kept whole');
  }
  const tables = [parts.readings, parts.waterReadings, parts.condenserReadings, parts.backupReadings];
  for (const { time_ms, columns, length } of tables.flatMap((rows) => rows ?? [])) {
    outcome.rows += length;
    if (length === 0) fault(outcome, message, 'a run without rows');
    for (const time of time_ms) if (!isTime(time)) fault(outcome, message, `stored at ${time} ms`);
    for (const column of columns) {
      if (column.length !== length) fault(outcome, message, 'columns of different lengths');
      for (const value of column) if (Math.abs(value) > 1e9) fault(outcome, message, `stored ${value}`);
    }
  }
  for (const { startedAt_ms, time_s } of parts.closings ?? [])
    if (!isTime(startedAt_ms) || !(time_s[time_s.length - 1] <= 3_600))
      fault(outcome, message, 'a closing of absurd time');
  for (const { since_ms } of parts.presences ?? [])
    if (!isTime(since_ms)) fault(outcome, message, 'a presence of absurd time');
}

const isTime = (time_ms: number) =>
  Number.isInteger(time_ms) && time_ms >= 946_684_800_000 && time_ms <= farthest_s * 1000;
/** For a person: a capital, an end, and nothing that does not print. */
const isSentence = (text: string) =>
  /^[A-Z"].*\.$/s.test(text) && text.length < 1_000 && ![...text].some((character) => character < ' ');
