import type { CircuitEnergy, Estimate } from '@coldrounds/core';
import type { FleetSite } from '../../registry/fleet.js';

const joulePerKilowattHour = 3.6e6;

export interface Money extends Estimate {
  /** ISO 4217. */
  currency: string;
}

/**
 * Energy as a sum over circuits or units. Uncertainties are added as they are: what circuits assume, they assume
 * together, so that errors do not average out.
 */
export const sumOf = (parts: readonly Estimate[]): Estimate | null =>
  parts.length === 0
    ? null
    : {
        value: parts.reduce((sum, { value }) => sum + value, 0),
        uncertainty: parts.reduce((sum, { uncertainty }) => sum + uncertainty, 0),
      };

/** What energy costs at the price of a site; null where the registry has no price or no currency. */
export function costOf(
  energy_J: Estimate | null,
  { currency, energyPrice_per_kWh: price }: Pick<FleetSite, 'currency' | 'energyPrice_per_kWh'>,
): Money | null {
  if (energy_J === null || currency === null || price === null) return null;
  const perJoule = price / joulePerKilowattHour;
  return { currency, value: energy_J.value * perJoule, uncertainty: energy_J.uncertainty * perJoule };
}

/** Money by its currency, in the order of the currencies' names: different ones are never added. */
export function byCurrency(parts: readonly (Money | null)[]): Money[] {
  const sums = new Map<string, Money>();
  for (const part of parts) {
    if (part === null) continue;
    const sum = sums.get(part.currency);
    sums.set(part.currency, {
      currency: part.currency,
      value: part.value + (sum?.value ?? 0),
      uncertainty: part.uncertainty + (sum?.uncertainty ?? 0),
    });
  }
  return [...sums.values()].sort((a, b) => (a.currency < b.currency ? -1 : 1));
}

/** Energy that the circuits of a unit give away; null where none of them is known. */
export const energyOfCircuits = (
  circuits: readonly Pick<CircuitEnergy, 'energy_J_week'>[],
): Estimate | null => sumOf(circuits.flatMap(({ energy_J_week }) => energy_J_week ?? []));
