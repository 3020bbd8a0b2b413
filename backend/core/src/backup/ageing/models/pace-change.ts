import { modelAtQuantile, type FittedModel } from './fitted-models.js';

/** A change in the pace of ageing. */
export interface PaceChange {
  at_s: number;
  faster: boolean;
}

const nearlyCertain = 0.95;

/** The change of pace on which models of 95 % of the weight agree; its date is their weighted median. */
export function paceChangeOf(
  models: readonly FittedModel[],
  startOfBin_s: (bin: number) => number,
): PaceChange | null {
  for (const faster of [true, false]) {
    const agreed = models.filter(({ change, quickens }) => change > 0 && quickens === faster);
    const weight = agreed.reduce((sum, model) => sum + model.weight, 0);
    if (weight < nearlyCertain) continue;
    const middle = modelAtQuantile(
      agreed.sort((a, b) => a.change - b.change),
      weight / 2,
    );
    return { at_s: startOfBin_s(middle.change), faster };
  }
  return null;
}
