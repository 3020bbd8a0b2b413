import { once } from 'node:events';
import { MessageChannel, type MessagePort, type Worker } from 'node:worker_threads';
import { afterEach, describe, expect, it } from 'vitest';
import { NotKnownError } from '../../registry/fleet.service.js';
import { answerCalls } from './answer-calls.js';
import { StudyThread, ThreadEndedError } from './study-thread.js';
import { NotAskedAnyMoreError, pause, whileAsked } from './while-asked.js';

/** What the services below have done. */
let done: string[] = [];
const services = {
  asking: {
    double: async (value: { of: number }) => ({ value: 2 * value.of, nothing: undefined, none: null }),
    unknown: () => Promise.reject(new NotKnownError('There is no unit a/b.')),
    away: () => Promise.reject(Object.assign(new Error('refused'), { code: 'ECONNREFUSED' })),
    long: async () => {
      for (let part = 0; part < 1e6; part++) {
        done.push('part');
        await pause();
      }
    },
    table: async (rows: number) => ({
      name: 'numbers',
      columns: ['n'],
      rows: (async function* () {
        try {
          for (let n = 0; n < rows; n++) yield [n];
        } finally {
          done.push('closed');
        }
      })(),
    }),
  },
};
type Asking = typeof services.asking;

let ports: MessagePort[] = [];
/** The two ends of a channel, the one as the worker's handle. */
function started() {
  const { port1, port2 } = new MessageChannel();
  ports.push(port1, port2);
  answerCalls(port1, services, () => port1.close());
  // A port that is closed says so as `close`, a worker as `exit`.
  port2.on('close', () => port2.emit('exit' as 'close', new Event('exit')));
  return port2 as unknown as Worker;
}
const thread = () => new StudyThread({ start: started, failed: () => {} });
const askingOf = (of: StudyThread) =>
  of.service<Asking, keyof Asking>('asking', ['double', 'unknown', 'away', 'long', 'table']);

afterEach(() => {
  for (const port of ports) port.close();
  ports = [];
  done = [];
});

describe('the thread of the study', () => {
  it('answers several calls at a time, each with its own answer', async () => {
    const asking = askingOf(thread());
    const answers = await Promise.all([1, 2, 3].map((of) => asking.double({ of })));
    expect(answers).toStrictEqual([2, 4, 6].map((value) => ({ value, nothing: undefined, none: null })));
  });

  it('tells errors as those that they were', async () => {
    const asking = askingOf(thread());
    await expect(asking.unknown()).rejects.toThrow(NotKnownError);
    await expect(asking.unknown()).rejects.toThrow('There is no unit a/b.');
    await expect(asking.away()).rejects.toMatchObject({ code: 'ECONNREFUSED', message: 'refused' });
  });

  it('gives the rows of a table in their order, however many', async () => {
    const { columns, rows } = await askingOf(thread()).table(2500);
    const found: number[] = [];
    for await (const [n] of rows) found.push(n!);
    expect({ columns, found }).toEqual({ columns: ['n'], found: Array.from({ length: 2500 }, (_, n) => n) });
  });

  it('reads no further in a table that nobody takes any more', async () => {
    const { rows } = await askingOf(thread()).table(1e6);
    for await (const [n] of rows) if (n === 10) break;
    await expect.poll(() => done).toEqual(['closed']);
  });

  it('stops between two parts when who asked leaves', async () => {
    const asking = askingOf(thread());
    const leaves = new AbortController();
    const answer = whileAsked(leaves.signal, () => asking.long());
    await expect.poll(() => done.length).toBeGreaterThan(3);
    leaves.abort();
    await expect(answer).rejects.toThrow(NotAskedAnyMoreError);
    // What was told before has been heard once the next call is answered.
    await asking.double({ of: 1 });
    const parts = done.length;
    await asking.double({ of: 1 });
    expect(done.length).toBe(parts);
  });

  it('lets nobody wait for a thread that has ended, and starts another for the next question', async () => {
    const study = thread();
    const asking = askingOf(study);
    const answer = asking.long();
    await expect.poll(() => done.length).toBeGreaterThan(0);
    const [, worker] = ports;
    ports[0]!.close();
    await Promise.all([once(worker!, 'close'), expect(answer).rejects.toThrow(ThreadEndedError)]);
    expect(await asking.double({ of: 4 })).toMatchObject({ value: 8 });
    await study.stop();
    await expect(asking.double({ of: 4 })).rejects.toThrow(ThreadEndedError);
  });
});
