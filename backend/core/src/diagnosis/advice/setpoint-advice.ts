import type { FloorPart, SteadyFloor } from '../../steadiness/circuit-assessment.js';
import { quantity, statement } from '../statement.js';
import type { Advice } from './advice.js';

/**
 * The setpoint that the steady floor allows: the highest floor that was seen with certainty in any part of the load, plus the
 * circuit's safety margin; each part's own besides. A part whose floor is only an upper bound gives no setpoint. Null where
 * no part has one.
 */
export function setpointAdvice(floor: SteadyFloor | null, margin_K: number): Advice | null {
  const known = (floor?.parts ?? []).filter(
    (part): part is FloorPart & { floor_K: number; uncertainty_K: number } =>
      part.bracketed && part.floor_K !== null && part.uncertainty_K !== null,
  );
  if (known.length === 0) return null;
  const figureOf = (part: (typeof known)[number]) => ({
    value: part.floor_K + margin_K,
    low: part.floor_K + margin_K - 2 * part.uncertainty_K,
    high: part.floor_K + margin_K + 2 * part.uncertainty_K,
    unit: 'K' as const,
  });
  const highest = known.reduce((one, other) => (other.floor_K > one.floor_K ? other : one));
  const setpoint = figureOf(highest);
  const byLoad = floor!.against === 'compressor-load';
  return {
    change: 'setpoint',
    sentence: statement(
      'A superheat setpoint of {setpoint} lies {margin} above the highest steady floor seen.',
      {
        setpoint: quantity('temperature-difference', setpoint.value, highest.uncertainty_K),
        margin: quantity('temperature-difference', margin_K),
      },
    ),
    basis: statement(
      byLoad
        ? 'The steady floor was seen in {parts} parts of the load, highest at {at} load. To be changed by authorised staff only.'
        : 'The steady floor was seen in {parts} parts of the opening, highest at {at} opening. To be changed by authorised staff only.',
      {
        parts: quantity('count', known.length),
        at: quantity('percent-opening', (highest.from + highest.to) / 2),
      },
    ),
    figures: {
      setpoint,
      ...Object.fromEntries(known.map((part) => [`from ${part.from} to ${part.to} %`, figureOf(part)])),
    },
  };
}
