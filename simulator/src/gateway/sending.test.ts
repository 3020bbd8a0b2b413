import { describe, expect, it } from 'vitest';
import { createSender, type SendingHabits, type ValueKind } from './sending.js';

/** A temperature that climbs by 0.05 K each 10 s for a while, then stands. */
const climbing = (rows: number) => Array.from({ length: rows }, (_, i) => 280 + 0.05 * Math.min(i, rows / 2));

function sent(habits: SendingHabits, values: number[], kind: ValueKind = 'temperature') {
  const sender = createSender([kind], habits, 5, 10);
  return values.map((value, i) => {
    const row = Float64Array.of(value);
    const came = sender.pass(i * 10, row);
    return { came, value: row[0] };
  });
}

describe('a gateway', () => {
  it('that sends on change leaves out what lies within the deadband, and speaks again after its heartbeat', () => {
    const values = climbing(400);
    const rows = sent({ onChange: { deadband: { temperature: 0.2 }, heartbeat_s: 600 } }, values);
    let last = NaN;
    let last_s = 0;
    rows.forEach(({ came, value }, i) => {
      if (came) {
        const due = 10 * i - last_s >= 600;
        expect(Number.isNaN(last) || Math.abs(value - last) >= 0.2 - 1e-9 || due).toBe(true);
        last = value;
        last_s = 10 * i;
      }
      expect(Math.abs(values[i] - last)).toBeLessThan(0.2);
    });
    expect(rows.filter(({ came }) => came).length).toBeLessThan(80);
  });

  it('that fills its rows repeats the value last sent', () => {
    const rows = sent({ onChange: { deadband: { temperature: 0.2 }, fillsRows: true } }, climbing(200));
    expect(rows.every(({ came, value }) => came && Number.isFinite(value))).toBe(true);
    expect(new Set(rows.map(({ value }) => value)).size).toBeLessThan(30);
  });

  it('rounds to its steps and keeps its own interval', () => {
    const rows = sent({ step: { temperature: 0.5 }, interval_s: 60 }, climbing(120));
    expect(rows.filter(({ came }) => came)).toHaveLength(20);
    for (const { came, value } of rows) if (came) expect(2 * value).toBeCloseTo(Math.round(2 * value), 9);
  });

  it('that averages sends the mean since its last row', () => {
    const rows = sent({ interval_s: 60, average: true }, climbing(120));
    const means = rows.filter(({ came }) => came);
    expect(means[1].value).toBeCloseTo(280 + 0.05 * 3.5, 9);
  });

  it('with clocks apart sends what was read up to that time ago', () => {
    const values = climbing(400);
    const rows = sent({ clocksApart_s: 180 }, values);
    const late = rows.findIndex(({ value }, i) => i > 30 && Math.abs(value - values[100]) < 1e-9);
    expect(late - 100).toBeGreaterThanOrEqual(0);
    expect(late - 100).toBeLessThanOrEqual(18);
  });

  it('glitches as often as it is told to', () => {
    const rows = sent({ glitchesPerDay: 24 }, new Array<number>(20 * 8640).fill(280));
    const glitches = rows.filter(({ value }) => value !== 280).length;
    // Poisson with a mean of 480: four standard deviations are 88.
    expect(Math.abs(glitches - 480)).toBeLessThan(88);
  });
});
