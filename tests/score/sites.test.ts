import { describe, expect, it } from 'vitest';
import { scoreBiased } from './biased-sensors.js';
import { firstHabits, furtherHabits } from './site-habits.js';
import { inLine, scoreHabit } from './sites.js';
import { scoreRegistry } from './wrong-registry.js';

/** A short pass with a fixed seed; `npm run score -- sites` runs all units, over seven days and with a fresh seed. */
const short = { seed: 6100, units: 1, faulty: 0, days: 3 };

/** Further habits that the analysis must know of, each for a rule of its own. */
const telling = [
  'local clock set back an hour',
  'Fahrenheit sent as Celsius',
  'gauge kilopascals sent as pascals',
  'opening sent as a fraction, no load',
  'load sent as 0 or 1',
  'load reads 2 % at rest',
  'load is a limit of 100 %',
  'setpoint of superheat sent as 0',
  'temperatures at -40 while the line is lost',
  '0 sent for a missing value',
  'converter ends under the pressure at rest',
  'suction pressure and temperature alone',
  'suction thermometer beside the entering water, no setpoint',
  'crankcase heater and warm plant room',
  'two compressors on one circuit',
  'hot-gas bypass at low load',
  'compressor loaded and unloaded every 20 s',
  'flooded, registered as dry expansion, no discharge temperature',
];

describe('a healthy unit', () => {
  it.each(firstHabits)('gives no finding with $name', (habit) => {
    const score = scoreHabit(habit, short);
    expect(score.falseFindings, inLine(score)).toEqual([]);
    expect(score.watched).toBe(0);
  });

  it.each(telling)('gives none but what is rightly watched with %s', (name) => {
    const habit = furtherHabits.find((one) => one.name === name)!;
    const score = scoreHabit(habit, { ...short, days: 2 });
    expect(score.falseFindings, inLine(score)).toEqual([]);
    const watched = score.watchedFindings.filter((line) => !line.includes(habit.watchedFor ?? 'none is'));
    expect(watched).toEqual([]);
  });
});

describe('a faulty unit', () => {
  const asked = [
    'values at 60 s',
    '30 % of rows missing',
    'valve opening in steps of 5 %',
    'sent on change, rows filled',
  ];
  it.each(firstHabits.filter(({ name }) => asked.includes(name)))(
    'is told its fault, and no wrong one, with $name',
    (habit) => {
      const score = scoreHabit(habit, { ...short, units: 0, faulty: 3 });
      expect(score.wrongFindings, inLine(score)).toEqual([]);
      expect(score.unnamed, inLine(score)).toEqual([]);
    },
  );

  it.each([
    ['valve friction', 'clocks up to 3 min apart'],
    ['condenser', 'flooded evaporator at 1 to 3 K'],
    ['loop tuned too hard', 'starts and stops every few minutes'],
  ])('with %s is told no wrong one with %s', (fault, name) => {
    const habit = firstHabits.find((one) => one.name === name)!;
    const score = scoreHabit(habit, { ...short, units: 0, faulty: 1, fault });
    expect(score.wrongFindings, inLine(score)).toEqual([]);
  });

  it('with its condenser fouled is told so beside a few glitches a day', () => {
    const habit = firstHabits.find(({ name }) => name === 'a few glitches a day')!;
    const score = scoreHabit(habit, { ...short, units: 0, faulty: 1, fault: 'condenser' });
    expect(score.unnamed, inLine(score)).toEqual([]);
    expect(score.wrongFindings, inLine(score)).toEqual([]);
  });

  it('is judged for floodback without the error of its suction sensor', () => {
    const { found, right, wrong } = scoreBiased({ seed: 6100, units: 4, days: 3 });
    expect(found).toBe(4);
    expect(right, wrong.join('; ')).toBe(4);
  });

  it('that stops for six minutes a day shows a wrong registry within two days, and a right one is not doubted', () => {
    const { found, missed, falsely } = scoreRegistry({ seed: 6100, units: 3, healthy: 1 });
    // The two days of the first unit have one stop in them, too few to say it.
    expect(found, missed.join('; ')).toBeGreaterThanOrEqual(2);
    expect(falsely).toEqual([]);
  });
});
