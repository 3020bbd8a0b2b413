import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';

// PUBLISHED: WCAG 2.1, relative luminance and contrast ratio; 1.4.3 asks 4.5 for text, 1.4.11 asks 3 for lines that
// carry meaning. Its example values: black on white is 21, #777 on white 4.48.
function luminance(hex: string): number {
  const [r, g, b] = [1, 3, 5].map((at) => {
    const part = parseInt(hex.slice(at, at + 2), 16) / 255;
    return part <= 0.04045 ? part / 12.92 : ((part + 0.055) / 1.055) ** 2.4;
  });
  return 0.2126 * r + 0.7152 * g + 0.0722 * b;
}
function contrast(a: string, b: string): number {
  const [low, high] = [luminance(a), luminance(b)].sort((x, y) => x - y);
  return (high + 0.05) / (low + 0.05);
}

const css = readFileSync(new URL('./tokens.css', import.meta.url), 'utf8');
function tokens(selector: string): Record<string, string> {
  const from = css.indexOf(`${selector} {`);
  const block = css.slice(from, css.indexOf('}', from));
  return Object.fromEntries([...block.matchAll(/--([\w-]+):\s*(#[0-9a-f]{6})\b/g)].map((m) => [m[1], m[2]]));
}

describe('contrast', () => {
  it('is worked out as the standard does', () => {
    expect(contrast('#000000', '#ffffff')).toBeCloseTo(21, 6);
    expect(contrast('#777777', '#ffffff')).toBeCloseTo(4.48, 2);
  });
  for (const [theme, selector] of [
    ['light', ':root'],
    ['dark', ":root[data-theme='dark']"],
  ]) {
    const colour = tokens(selector);
    const grounds = ['paper', 'sheet', 'sunken'];
    it(`of all text in the ${theme} theme is at least 4.5 on every ground`, () => {
      const inks = ['ink', 'ink-2', 'link', 'today', 'this-week', 'next-visit', 'watch', 'good'];
      const weak = inks.flatMap((ink) =>
        grounds
          .filter((ground) => !(contrast(colour[ink], colour[ground]) >= 4.5))
          .map((ground) => `${ink} on ${ground}: ${contrast(colour[ink], colour[ground]).toFixed(2)}`),
      );
      expect(weak).toEqual([]);
    });
    it(`of faint text and of every line of a chart in the ${theme} theme is enough on the page`, () => {
      expect(contrast(colour['ink-3'], colour.paper)).toBeGreaterThanOrEqual(4.5);
      for (const line of ['plot-1', 'plot-2', 'plot-3', 'plot-4', 'plot-5', 'plot-limit', 'focus'])
        expect(contrast(colour[line], colour.paper), line).toBeGreaterThanOrEqual(3);
    });
  }
});
