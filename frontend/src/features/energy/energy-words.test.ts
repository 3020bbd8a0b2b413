import { describe, expect, it } from 'vitest';
import type { CircuitEnergy } from '../../api/decisions/energy.js';
import { cycleWords, givenAwayWords, savedWords } from './energy-words.js';

// 1 kWh is 3.6 MJ.
const kWh = (value: number, uncertainty: number) => ({
  value: value * 3.6e6,
  uncertainty: uncertainty * 3.6e6,
});

describe('energy in words', () => {
  it('has two figures and the range of about 19 in 20 cases', () => {
    expect(givenAwayWords(kWh(123.4, 31), [])).toBe('about 120 kWh (61 to 190) a week');
    expect(givenAwayWords(kWh(1, 0.6), [{ currency: 'EUR', value: 0.246, uncertainty: 0.1 }])).toBe(
      'about 1.0 kWh (0 to 2.2) a week, about 0.25 EUR',
    );
  });

  it('joins different currencies and never adds them', () => {
    const words = givenAwayWords(kWh(100, 10), [
      { currency: 'EUR', value: 20, uncertainty: 2 },
      { currency: 'SEK', value: 150, uncertainty: 15 },
    ]);
    expect(words).toMatch(/about 20 EUR and about 150 SEK$/);
  });

  it('calls a saving one only where it surely is', () => {
    expect(savedWords(kWh(100, 20), [])).toBe('Saved about 100 kWh (60 to 140).');
    expect(savedWords(kWh(100, 60), [])).toMatch(/No saving/);
    expect(savedWords(kWh(-50, 10), [])).toMatch(/No saving/);
  });

  it('says which way a temperature moved, and against what', () => {
    const energy = {
      evaporatingLost_K: { value: -0.8, uncertainty: 0.2 },
      evaporatingFrom: 'departure',
      condensingGained_K: { value: 3.04, uncertainty: 0.3 },
      share: { value: 0.071, uncertainty: 0.012 },
    } as CircuitEnergy;
    expect(cycleWords(energy, 'si')).toEqual([
      'It evaporates 0.8 ± 0.4 K higher than it did at the same load and water temperature.',
      'It condenses 3.0 ± 0.6 K higher than it did at the same load and cooling conditions.',
      'That is 7.1 % (± 2.4 %) of the compressors’ energy.',
    ]);
    // A difference of 1 K is one of 1.8 °F.
    expect(cycleWords(energy, 'inch-pound')[0]).toMatch(/^It evaporates 1\.4 ± 0\.7 °F higher /);
  });
});
