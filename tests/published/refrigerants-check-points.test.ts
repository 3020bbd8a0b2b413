import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import {
  liquidDensity,
  liquidEnthalpy,
  refrigerantFacts,
  refrigerantNames,
  saturationPressure,
  saturationTemperature,
  vapourDensity,
  vapourEnthalpy,
  vapourEntropy,
  type TableErrors,
} from '@coldrounds/core';

interface CheckPoints {
  source: string;
  fluids: Record<string, Record<'dew' | 'bubble' | 'vapour', number[][]>>;
}

const { source, fluids } = JSON.parse(
  readFileSync(new URL('./values/refrigerant-check-points.json', import.meta.url), 'utf8'),
) as CheckPoints;

/** Largest error of each kind at the check points: random places from -40 C to 70 C (or 6 K below critical). */
function measure(name: string): TableErrors {
  const { dew, bubble, vapour } = fluids[name];
  const largest = (values: number[]) => Math.max(...values.map(Math.abs));
  const sides = [
    ...dew.map((row) => ({ row, side: 'dew' as const })),
    ...bubble.map((row) => ({ row, side: 'bubble' as const })),
  ];
  return {
    temperature_K: largest(sides.map(({ row, side }) => saturationTemperature(name, row[1], side) - row[0])),
    pressure_relative: largest(
      sides.map(({ row, side }) => saturationPressure(name, row[0], side) / row[1] - 1),
    ),
    liquidEnthalpy_J_kg: largest(bubble.map((row) => liquidEnthalpy(name, row[0]) - row[2])),
    liquidDensity_relative: largest(bubble.map((row) => liquidDensity(name, row[0]) / row[3] - 1)),
    vapourEnthalpy_J_kg: largest(vapour.map((row) => vapourEnthalpy(name, row[0], row[1]) - row[2])),
    vapourDensity_relative: largest(vapour.map((row) => vapourDensity(name, row[0], row[1]) / row[3] - 1)),
    vapourEntropy_J_kgK: largest(vapour.map((row) => vapourEntropy(name, row[0], row[1]) - row[4])),
  };
}

/** What the tables promise. */
const required: TableErrors = {
  temperature_K: 0.01,
  pressure_relative: 0.0003,
  liquidEnthalpy_J_kg: 150,
  liquidDensity_relative: 0.002,
  vapourEnthalpy_J_kg: 150,
  vapourDensity_relative: 0.002,
  vapourEntropy_J_kgK: 0.5,
};

/** The check points carry nine digits (half a microkelvin): that much may be added to what a table states. */
const rounding: TableErrors = {
  temperature_K: 2e-6,
  pressure_relative: 1e-7,
  liquidEnthalpy_J_kg: 0.02,
  liquidDensity_relative: 1e-8,
  vapourEnthalpy_J_kg: 0.02,
  vapourDensity_relative: 1e-7,
  vapourEntropy_J_kgK: 1e-4,
};

describe(`property tables at independent check points (${source.split(';')[0]})`, () => {
  it.each(refrigerantNames())(
    '%s keeps the required accuracy and the errors that its table states',
    (name) => {
      const measured = measure(name);
      const stated = refrigerantFacts(name).largestWorkingError;
      for (const kind of Object.keys(required) as (keyof TableErrors)[]) {
        expect(measured[kind], `${kind} required`).toBeLessThanOrEqual(required[kind]);
        expect(stated[kind], `${kind} stated`).toBeLessThanOrEqual(required[kind]);
        expect(measured[kind], `${kind} as stated`).toBeLessThanOrEqual(stated[kind] + rounding[kind]);
      }
    },
  );

  it('a table off by a hundredth of a kelvin would be noticed', () => {
    const [row] = fluids.R134a.dew.slice(20);
    expect(Math.abs(saturationTemperature('R134a', row[1] * 1.0005, 'dew') - row[0])).toBeGreaterThan(0.01);
  });
});
