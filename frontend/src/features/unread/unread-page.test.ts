import { describe, expect, it } from 'vitest';
import { reasonWords } from './unread-page.js';

describe('the reason why a message could not be read', () => {
  it('is in words, formats spelt as their standards spell them', () => {
    // RFC 8259 and RFC 8428.
    expect(['not-json', 'not-senml', 'out-of-range'].map(reasonWords)).toEqual([
      'not JSON',
      'not SenML',
      'out of range',
    ]);
  });
});
