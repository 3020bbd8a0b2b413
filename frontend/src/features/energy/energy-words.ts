import type { CircuitEnergy, Estimate, Money } from '../../api/decisions/energy.js';
import { decimals, digitsFor, formatQuantity } from '../../quantities/format-quantity.js';
import type { UnitSystem } from '../../quantities/unit-system.js';

const joulePerKilowattHour = 3.6e6;

/** To two figures: no more is known of it. */
const figures = (value: number): string => {
  const rounded = Number(value.toPrecision(2));
  return decimals(rounded, digitsFor(rounded, 2));
};

/** The range in which an estimate lies in about 19 of 20 cases. */
const rangeOf = ({ value, uncertainty }: Estimate): [number, number] => [
  value - 2 * uncertainty,
  value + 2 * uncertainty,
];

const between = (estimate: Estimate, factor: number): string => {
  const [low, high] = rangeOf(estimate);
  return `${figures(Math.max(0, low) * factor)} to ${figures(high * factor)}`;
};

/** `about 120 kWh (60 to 180)`. */
export const energyWords = (energy_J: Estimate): string =>
  `about ${figures(energy_J.value / joulePerKilowattHour)} kWh (${between(energy_J, 1 / joulePerKilowattHour)})`;

/** `about 30 EUR`, of several currencies joined by `and`. */
export const moneyWords = (parts: readonly (Money | null)[]): string =>
  new Intl.ListFormat('en-GB').format(
    parts.flatMap((money) => (money === null ? [] : [`about ${figures(money.value)} ${money.currency}`])),
  );

/** Words for energy and, where there is a price, what that costs. */
export function withCost(words: string, money: readonly (Money | null)[]): string {
  const cost = moneyWords(money);
  return cost === '' ? words : `${words}, ${cost}`;
}

/** Energy and, where there is a price, what it costs. */
export function givenAwayWords(energy_J: Estimate, money: readonly (Money | null)[]): string {
  return withCost(`${energyWords(energy_J)} a week`, money);
}

/** A saving that may as well be none is not called one. */
export const isSure = ({ value, uncertainty }: Estimate): boolean => value > 2 * uncertainty;

export function savedWords(energy_J: Estimate, money: readonly (Money | null)[]): string {
  if (!isSure(energy_J)) return 'No saving can be measured for sure yet.';
  return `Saved ${withCost(energyWords(energy_J), money)}.`;
}

/** How far a temperature moved, with the range of about 19 in 20 cases. */
const moved = ({ value, uncertainty }: Estimate, system: UnitSystem): string =>
  formatQuantity(
    { value: Math.abs(value), kind: 'temperature-difference', uncertainty: 2 * uncertainty },
    system,
  );

/** What moved in the cycle of a circuit, in sentences. */
export function cycleWords(energy: CircuitEnergy, system: UnitSystem): string[] {
  const { evaporatingLost_K: lost, evaporatingFrom, condensingGained_K: gained, share } = energy;
  const words: string[] = [];
  if (lost !== null)
    words.push(
      evaporatingFrom === 'superheat'
        ? `It evaporates ${moved(lost, system)} lower than it could with less superheat.`
        : `It evaporates ${moved(lost, system)} ${lost.value > 0 ? 'lower' : 'higher'} than it did at the same load and water temperature.`,
    );
  if (gained !== null)
    words.push(
      `It condenses ${moved(gained, system)} ${gained.value > 0 ? 'higher' : 'lower'} than it did at the same load and cooling conditions.`,
    );
  if (share !== null)
    words.push(
      `That is ${decimals(100 * share.value, 1)} % (± ${decimals(200 * share.uncertainty, 1)} %) of the compressors’ energy.`,
    );
  return words;
}
