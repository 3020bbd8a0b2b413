import { readdirSync, readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';

const root = fileURLToPath(new URL('..', import.meta.url));
const sources = readdirSync(root, { recursive: true, encoding: 'utf8' }).filter(
  (name) => /\.tsx?$/.test(name) && !/\.test\.|schema\.d\.ts$/.test(name),
);

/** Phrases that no engineer says, however they are spaced or broken over lines. */
const odd = [
  /of belief/,
  /\bstands? on\b/,
  /\bspeaks? (for|against)\b/,
  /\bset aside\b/,
  /\b(superheat|voltage) (is|was) (at )?least\b/,
  /\bleast (superheat|voltage)\b/,
  /cannot be said/,
  /\w\(s\)\W/,
];

describe('the words of the pages', () => {
  it('are plain engineer’s English', () => {
    expect(sources.length).toBeGreaterThan(50);
    const found = sources.flatMap((name) => {
      const text = readFileSync(`${root}/${name}`, 'utf8').replace(/\s+/g, ' ');
      return odd.filter((phrase) => phrase.test(text)).map((phrase) => `${name}: ${phrase}`);
    });
    expect(found).toEqual([]);
  });
});
