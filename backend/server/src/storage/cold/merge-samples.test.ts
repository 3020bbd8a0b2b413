import { describe, expect, it } from 'vitest';
import { mergeSamples, type Samples } from './merge-samples.js';

const samples = (time_s: number[], ...columns: number[][]): Samples => ({
  time_s: Float64Array.from(time_s),
  columns: columns.map((values) => Float64Array.from(values)),
});
const plain = ({ time_s, columns }: Samples) => [[...time_s], ...columns.map((values) => [...values])];

describe('mergeSamples', () => {
  it('puts two series into one in rising time', () => {
    expect(plain(mergeSamples(samples([1, 4], [10, 40]), samples([2, 3, 5], [20, 30, 50])))).toEqual([
      [1, 2, 3, 4, 5],
      [10, 20, 30, 40, 50],
    ]);
  });

  it('has each time once: a value of the first stays, a missing one is filled', () => {
    const merged = mergeSamples(samples([1, 2], [10, NaN], [NaN, NaN]), samples([1, 2], [99, 20], [7, NaN]));
    expect(plain(merged)).toEqual([
      [1, 2],
      [10, 20],
      [7, NaN],
    ]);
  });

  it('takes a missing difference anew where one side alone could not have it', () => {
    const merged = mergeSamples(
      samples([1, 2], [280, 280], [NaN, 274], [NaN, 6.5]),
      samples([1, 2], [NaN, NaN], [273, NaN], [NaN, NaN]),
      [{ at: 2, minuend: 0, subtrahend: 1 }],
    );
    expect(plain(merged)[3]).toEqual([7, 6.5]);
  });

  it('gives the one where the other is empty', () => {
    const one = samples([1], [10]);
    expect(mergeSamples(one, samples([], []))).toBe(one);
    expect(mergeSamples(samples([], []), one)).toBe(one);
  });
});
