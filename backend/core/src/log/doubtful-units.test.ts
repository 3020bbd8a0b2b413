import { describe, expect, it } from 'vitest';
import { doubtfulUnits } from './doubtful-units.js';
import { readLogColumns } from './log-columns.js';

/** PUBLISHED, measured: ASHRAE RP-1043 (Comstock & Braun 1999), normal run, R134a: psig and suction in F; the water from memory. */
const measured = [
  { pressure_psig: 37.2, suction_F: 46.8, leaving_F: 45 },
  { pressure_psig: 39.2, suction_F: 49.8, leaving_F: 47 },
  { pressure_psig: 32.7, suction_F: 38.2, leaving_F: 40.5 },
];

/** Two hours at 30 s of one of the measured states under the headers given, which may say something else than is meant. */
function doubts(
  { pressure_psig, suction_F, leaving_F }: (typeof measured)[number],
  { pressure = 'psig', temperature = 'F', value = pressure_psig, load = 70 } = {},
) {
  const fill = (each: number) => new Array<number>(240).fill(each);
  const { series } = readLogColumns({
    time_s: Array.from({ length: 240 }, (_, k) => 30 * k),
    [`suction_pressure_${pressure}`]: fill(value),
    [`suction_temperature_${temperature}`]: fill(suction_F),
    leaving_temperature_F: fill(leaving_F),
    compressor_load_pct: fill(load),
  });
  return doubtfulUnits(series, 'R134a');
}

describe.each(measured)('the readings of a machine at $pressure_psig psig', (state) => {
  it('are not doubted under their own units', () => {
    expect(doubts(state)).toEqual([]);
  });

  it('are doubted where gauge pressure is headed absolute', () => {
    expect(doubts(state, { pressure: 'psi' }).join()).toMatch(
      /suction pressure is gauge pressure and not absolute/,
    );
  });

  it('are doubted where degrees Fahrenheit are headed Celsius', () => {
    expect(doubts(state, { temperature: 'C' }).join()).toMatch(/in degrees Fahrenheit and not Celsius/);
  });

  it('are doubted where psi are headed bar', () => {
    expect(doubts(state, { pressure: 'barg' }).join()).toMatch(/Units or refrigerant are doubtful/);
    expect(doubts(state, { pressure: 'bar', value: state.pressure_psig + 14.696 }).join()).toMatch(
      /psi and not bar/,
    );
  });

  it('are not looked at while the machine stands', () => {
    expect(doubts(state, { pressure: 'psi', load: 0 })).toEqual([]);
  });
});
