import type { TableErrors } from '../../fluids/fluid-table.js';
import { standardAtmosphere_Pa } from '../units/index.js';
import { fluidOf } from './fluid.js';
import { saturationTemperature } from './saturation.js';

/** Safety group: toxicity A lower, B higher; flammability 1 none, 2L lower with slow flame, 2 lower, 3 higher. */
export type SafetyClass = 'A1' | 'A2L' | 'A2' | 'A3' | 'B1' | 'B2L' | 'B2' | 'B3';

/** ANSI/ASHRAE Standard 34, which ISO 817 shares, per designation. */
const safetyClasses: Record<string, SafetyClass> = {
  R134a: 'A1',
  'R1234ze(E)': 'A2L',
  R1234yf: 'A2L',
  R32: 'A2L',
  'R1233zd(E)': 'A1',
  R22: 'A1',
  R123: 'B1',
  R245fa: 'B1',
  R290: 'A3',
  R717: 'B2L',
  R744: 'A1',
  R410A: 'A1',
  R454B: 'A2L',
  R452B: 'A2L',
  R513A: 'A1',
  R515B: 'A1',
  R450A: 'A1',
  R407C: 'A1',
  R448A: 'A1',
  R449A: 'A1',
  R454C: 'A2L',
  R404A: 'A1',
};

export interface RefrigerantFacts {
  name: string;
  /** Mass fractions after ASHRAE 34; one entry for a single substance. */
  composition: readonly { component: string; massFraction: number }[];
  safetyClass: SafetyClass;
  flammable: boolean;
  toxic: boolean;
  /** Dew less bubble temperature at 101325 Pa, K; 0 for a single substance. */
  glide_K: number;
  criticalTemperature_K: number;
  /** What the numbers come from. */
  source: string;
  range: {
    lowestSaturation_K: number;
    highestSaturation_K: number;
    largestSuperheat_K: number;
    hottestVapour_K: number;
  };
  /** Largest error over the whole table, and from -40 C to 70 C (or 6 K below critical) with 0 to 40 K superheat. */
  largestError: TableErrors;
  largestWorkingError: TableErrors;
}

/**
 * What a person must know of a refrigerant, and how good its numbers are.
 * @throws UnknownRefrigerantError offering the nearest names.
 * @example refrigerantFacts('R407C').glide_K // 7.0
 */
export function refrigerantFacts(refrigerant: string): RefrigerantFacts {
  const { table } = fluidOf(refrigerant);
  const safetyClass = safetyClasses[table.name];
  const at = (side: 'dew' | 'bubble') => saturationTemperature(table.name, standardAtmosphere_Pa, side);
  return {
    name: table.name,
    composition: table.composition,
    safetyClass,
    flammable: !safetyClass.endsWith('1'),
    toxic: safetyClass.startsWith('B'),
    glide_K: table.composition.length === 1 ? 0 : at('dew') - at('bubble'),
    criticalTemperature_K: table.criticalTemperature_K,
    source: table.source,
    range: {
      lowestSaturation_K: table.lowestSaturation_K,
      highestSaturation_K: table.highestSaturation_K,
      largestSuperheat_K: table.largestSuperheat_K,
      hottestVapour_K: table.hottestVapour_K,
    },
    largestError: table.largestError,
    largestWorkingError: table.largestWorkingError,
  };
}
