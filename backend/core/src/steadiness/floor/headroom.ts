import { quantity, statement } from '../../diagnosis/statement.js';
import type { Headroom, SteadyFloor } from '../circuit-assessment.js';

/**
 * Energy: one kelvin of evaporating temperature is worth 3.4 to 3.5 % of COP (COMPUTED with CoolProp 8.0.0 for the common
 * refrigerants at Te 3 C, Tc 42 C); superheat by itself changes COP by less than 0.2 %. How much the evaporating
 * temperature rises per kelvin by which superheat is lowered depends on the evaporator: half a kelvin is taken here, an
 * assumption without a source, and the sentence says so.
 */
export const energyPerEvaporatingKelvin = 0.0345;
export const evaporatingPerSuperheatKelvin = 0.5;

/**
 * Superheat held, less steady floor and safety margin, over the parts of load in which a floor is known.
 * Null where those parts cover under half of the time, or nothing is left.
 */
export function headroomOf(floor: SteadyFloor | null, safetyMargin_K: number): Headroom | null {
  if (!floor) return null;
  let all = 0;
  let covered = 0;
  let held = 0;
  let lowest = 0;
  let variance = 0;
  for (const point of floor.points) {
    all++;
    const part = floor.parts.find((p) => point.at >= p.from && (point.at < p.to || p.to >= 100));
    if (!part || part.floor_K === null || part.uncertainty_K === null || !point.steady) continue;
    covered++;
    held += point.superheat_K;
    lowest += part.floor_K;
    variance += part.uncertainty_K ** 2;
  }
  if (covered === 0 || covered < 0.5 * all) return null;
  const headroom_K = held / covered - lowest / covered - safetyMargin_K;
  const evaporatingRise_K = Math.max(0, headroom_K) * evaporatingPerSuperheatKelvin;
  return {
    headroom_K,
    uncertainty_K: Math.sqrt(variance / covered),
    held_K: held / covered,
    floor_K: lowest / covered,
    safetyMargin_K,
    coveredFraction: covered / all,
    energyFraction: 1 - 1 / (1 + energyPerEvaporatingKelvin * evaporatingRise_K),
    assumption: statement(
      'Assumes that evaporating temperature rises by {rise} for each {step} by which superheat is lowered (no source; it depends on the evaporator), and that each {step} of evaporating temperature is worth {cop} of COP (computed from refrigerant properties).',
      {
        rise: quantity('temperature-difference', evaporatingPerSuperheatKelvin),
        step: quantity('temperature-difference', 1),
        cop: quantity('share', energyPerEvaporatingKelvin),
      },
    ),
  };
}
