import { expect, inject, it } from 'vitest';
import { fuzzReaders } from './fuzz-run.js';

it('20,000 payloads that no sender should send are read or refused with a reason and a sentence', async () => {
  const { messages, rows, reasons, faults, faultCount } = await fuzzReaders(inject('seed'), 20_000);
  expect(faults.map(({ topic, fault }) => `${topic}: ${fault}`)).toEqual([]);
  expect(faultCount).toBe(0);
  // The fuzz does reach the readers: it is read, and refused in most of the ways there are.
  expect(messages).toBeGreaterThan(19_000);
  expect(rows).toBeGreaterThan(4_000);
  expect([...reasons.keys()]).toEqual(
    expect.arrayContaining([
      ...[
        'read',
        'unknown-topic',
        'unknown-unit',
        'not-text',
        'not-json',
        'not-senml',
        'unknown-name',
        'wrong-unit',
      ],
      ...['wrong-type', 'out-of-range', 'time-in-future', 'time-too-old', 'not-sparkplug', 'before-birth'],
    ]),
  );
});
