import { refrigerantFacts, refrigerantNames } from '@coldrounds/core';

/** The refrigerants that have property tables, with what a person must know of them. */
export class RefrigerantService {
  list() {
    return {
      refrigerants: refrigerantNames()
        .map(refrigerantFacts)
        .map((facts) => ({
          name: facts.name,
          safetyClass: facts.safetyClass,
          composition: facts.composition.map(({ component, massFraction }) => ({
            name: component,
            massFraction,
          })),
          glide_K: atmospheric(() => facts.glide_K),
          minimumTemperature_K: facts.range.lowestSaturation_K,
          maximumTemperature_K: facts.range.highestSaturation_K,
          maximumError_K: facts.largestError.temperature_K,
          source: facts.source,
        })),
    };
  }
}

const atmospheric = (read: () => number): number | null => {
  const value = read();
  return Number.isFinite(value) ? value : null;
};
