import { describe, expect, it } from 'vitest';
import { saturationPressure } from '@coldrounds/core/refrigerants';
import { dewTemperature, at, refrigerantTables } from './refrigerant-tables.js';

describe('the simulator’s properties', () => {
  it('agree with the functions that their tables are made from', () => {
    const tables = refrigerantTables('R454B');
    for (const temperature_K of [250.2, 276.37, 301.81, 318.6]) {
      const pressure_Pa = saturationPressure('R454B', temperature_K, 'dew');
      expect(at(tables.dewPressure_Pa, temperature_K) / pressure_Pa).toBeCloseTo(1, 4);
      expect(dewTemperature(tables, pressure_Pa)).toBeCloseTo(temperature_K, 2);
    }
  });

  it('cover the low-pressure R1233zd(E), which boils at 18.3 C under one atmosphere', () => {
    // Computed, CoolProp 8.0.0: dew temperature at 101,325 Pa.
    expect(dewTemperature(refrigerantTables('R1233zd(E)'), 101_325)).toBeCloseTo(291.28, 0);
  });
});
