import { describe, expect, it } from 'vitest';
import { stateWords } from './notice-words.js';

const at = (instant: string) => instant.slice(11, 16);

describe('what became of a message', () => {
  it('is said with its tries and its next one', () => {
    const base = { attempts: 1, endedAt: null, nextTry: null };
    expect(stateWords({ ...base, state: 'waiting', attempts: 0 }, at)).toBe('on its way');
    expect(stateWords({ ...base, state: 'waiting', nextTry: '2026-03-02T07:30:00Z' }, at)).toBe(
      'not taken after one try, next one 07:30',
    );
    expect(stateWords({ ...base, state: 'sent', endedAt: '2026-03-02T07:31:00Z' }, at)).toBe('sent 07:31');
    expect(stateWords({ ...base, state: 'given-up', attempts: 8 }, at)).toBe('given up after 8 tries');
  });
});
