import { describe, expect, it } from 'vitest';
import { longestDrive } from './longest-drive.js';

const seconds = (n: number) => Array.from({ length: n }, (_, i) => i);

describe('the drive of a discharge', () => {
  it('is where the current is at least a fifth of its highest', () => {
    expect(longestDrive(seconds(6), [0, 2, 10, 2, 1.9, 0])).toEqual({ start: 1, end: 3 });
    expect(longestDrive(seconds(4), [1.9, 2, 10, 2])).toEqual({ start: 1, end: 3 });
  });

  it('is the longest in time and not the one of the most samples; of two as long the first', () => {
    const time_s = [0, 1, 2, 3, 4, 5, 15, 16];
    expect(longestDrive(time_s, [0, 1, 1, 1, 0, 1, 1, 0])).toEqual({ start: 5, end: 6 });
    expect(longestDrive(seconds(7), [0, 1, 1, 0, 1, 1, 0])).toEqual({ start: 1, end: 2 });
    expect(longestDrive(seconds(7), [0, 1, 1, 0, 1, 1, 1])).toEqual({ start: 4, end: 6 });
  });

  it('is none without a current out of the module', () => {
    expect(longestDrive(seconds(3), [0, 0, 0])).toBeNull();
    expect(longestDrive(seconds(3), [-1, -2, 0])).toBeNull();
    expect(longestDrive([], [])).toBeNull();
    expect(longestDrive(seconds(3), [0, 0.5, -2])).toEqual({ start: 1, end: 1 });
  });
});
