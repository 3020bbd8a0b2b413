import { PassThrough } from 'node:stream';
import { describe, expect, it } from 'vitest';
import type { Batch, Column } from '../column.js';
import { writeCsv } from './csv-file.js';

const column = (name: string, type: Column['type']): Column => ({ name, type, meaning: '' });

async function* once(batch: Batch): AsyncGenerator<Batch> {
  yield batch;
}

async function linesOf(columns: Column[], batch: Batch): Promise<string[]> {
  const to = new PassThrough({ highWaterMark: 16 });
  let text = '';
  to.on('data', (chunk: Buffer) => (text += chunk.toString()));
  expect(await writeCsv(to, columns, once(batch))).toBe(batch.rows);
  expect(text.endsWith('\r\n')).toBe(true);
  return text.slice(0, -2).split('\r\n');
}

describe('a table as CSV', () => {
  it('has each real as the shortest decimal of its 7 digits', async () => {
    const reals = Float32Array.from([
      ...[
        0,
        1,
        -1,
        0.1,
        5.5,
        284.15,
        345000,
        345000.53,
        999999.9,
        1e6,
        1.5e7,
        2e7,
        -0.25,
        0.000123,
        1e-12,
        NaN,
      ],
      // From the smallest to the largest that telemetry has, both signs, many digits.
      ...Array.from(
        { length: 5000 },
        (_, n) => (n % 2 ? -1 : 1) * 10 ** (-2 + n / 500) * (1 + Math.sin(n) / 3),
      ),
    ]);
    const [, ...lines] = await linesOf([column('a', 'real')], { rows: reals.length, columns: [{ reals }] });
    expect(lines).toEqual(
      Array.from(reals, (value) => (Number.isNaN(value) ? '' : String(Number(value.toPrecision(7))))),
    );
  });

  it('has times as ISO 8601 in UTC, to the millisecond where there is one', async () => {
    const times = [0, 1_700_000_000, 1_700_000_000.25, 1_709_251_199.9996, 1_709_251_200, 951_782_400];
    const [, ...lines] = await linesOf([column('t', 'time')], {
      ...{ rows: times.length, columns: [{ times_s: Float64Array.from(times) }] },
    });
    expect(lines).toEqual(
      times.map((time_s) => new Date(Math.round(time_s * 1000)).toISOString().replace('.000Z', 'Z')),
    );
  });

  it('quotes what has commas, quotes and line breaks (RFC 4180), keeps other letters, and leaves missing cells empty', async () => {
    const values = ['plain', 'a,b', 'say "so"', 'two\nlines', 'Ørsted – 日本', '', null];
    const lines = await linesOf([column('first', 'integer'), column('words', 'text')], {
      ...{ rows: values.length, columns: [{ constant: 7 }, { values }] },
    });
    expect(lines).toEqual([
      ...[
        'first,words',
        '7,plain',
        '7,"a,b"',
        '7,"say ""so"""',
        '7,"two\nlines"',
        '7,Ørsted – 日本',
        '7,',
        '7,',
      ],
    ]);
  });
});
