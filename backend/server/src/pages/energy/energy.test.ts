import { describe, expect, it } from 'vitest';
import { byCurrency, costOf, energyOfCircuits, sumOf } from './energy.js';

// 1 kWh is 3.6 MJ (BIPM, SI brochure, 9th edition, table 8: 1 h = 3600 s).
const kWh = (value: number, uncertainty: number) => ({
  value: value * 3.6e6,
  uncertainty: uncertainty * 3.6e6,
});

describe('what energy costs', () => {
  it('is the price of the site times the kilowatt-hours, its uncertainty too', () => {
    const cost = costOf(kWh(100, 20), { currency: 'EUR', energyPrice_per_kWh: 0.25 })!;
    expect(cost.currency).toBe('EUR');
    expect(cost.value).toBeCloseTo(25, 9);
    expect(cost.uncertainty).toBeCloseTo(5, 9);
  });

  it('is not told without a price, a currency, or energy', () => {
    expect(costOf(kWh(1, 0), { currency: null, energyPrice_per_kWh: 0.25 })).toBeNull();
    expect(costOf(kWh(1, 0), { currency: 'EUR', energyPrice_per_kWh: null })).toBeNull();
    expect(costOf(null, { currency: 'EUR', energyPrice_per_kWh: 0.25 })).toBeNull();
  });

  it('is never added over two currencies', () => {
    const sums = byCurrency([
      { currency: 'SEK', value: 100, uncertainty: 10 },
      null,
      { currency: 'EUR', value: 20, uncertainty: 2 },
      { currency: 'SEK', value: 50, uncertainty: 5 },
    ]);
    expect(sums).toEqual([
      { currency: 'EUR', value: 20, uncertainty: 2 },
      { currency: 'SEK', value: 150, uncertainty: 15 },
    ]);
  });
});

describe('energy over several circuits', () => {
  it('adds uncertainties as they are, and leaves out what is not known', () => {
    expect(sumOf([kWh(1, 0.5), kWh(2, 0.5)])).toEqual(kWh(3, 1));
    expect(energyOfCircuits([{ energy_J_week: null }, { energy_J_week: kWh(2, 1) }])).toEqual(kWh(2, 1));
    expect(energyOfCircuits([{ energy_J_week: null }])).toBeNull();
    expect(sumOf([])).toBeNull();
  });
});
