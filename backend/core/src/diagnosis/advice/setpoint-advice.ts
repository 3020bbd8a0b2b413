import type { FloorPart, SteadyFloor } from '../../steadiness/circuit-assessment.js';
import { quantity, statement } from '../statement.js';
import type { Advice, AdvisedFigure } from './advice.js';

type KnownPart = FloorPart & { floor_K: number; uncertainty_K: number };
/** A part whose floor lies somewhere between a superheat that was restless and one that was steady. */
type BoundedPart = KnownPart & { huntedUpTo_K: number };

/**
 * The setpoint that the steady floor allows: the highest floor that was seen with certainty in any part of the load, plus the
 * circuit's safety margin; each part's own besides. A part whose floor is only an upper bound gives no setpoint. Null where
 * no part has one.
 */
export function setpointAdvice(floor: SteadyFloor | null, margin_K: number): Advice | null {
  const known = partsOf(floor).filter(({ bracketed }) => bracketed);
  if (known.length === 0) return null;
  const figureOf = (part: KnownPart): AdvisedFigure => ({
    value: part.floor_K + margin_K,
    low: part.floor_K + margin_K - 2 * part.uncertainty_K,
    high: part.floor_K + margin_K + 2 * part.uncertainty_K,
    unit: 'K',
  });
  const highest = highestOf(known);
  const setpoint = figureOf(highest);
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
      floor!.against === 'compressor-load'
        ? 'The steady floor was seen in {parts} parts of the load, highest at {at} load. To be changed by authorised staff only.'
        : 'The steady floor was seen in {parts} parts of the opening, highest at {at} opening. To be changed by authorised staff only.',
      {
        parts: quantity('count', known.length),
        at: quantity('percent-opening', (highest.from + highest.to) / 2),
      },
    ),
    figures: { setpoint, ...byPart(known, figureOf) },
  };
}

/**
 * For a circuit that is restless because its setpoint lies under the steady floor: the floor itself plus the margin, where it
 * is known in the part of the load with the highest floor; else the superheat that the circuit has held steadily at the loads
 * at which it is restless now. The floor then lies between what was restless and what was steady, and so does the lowest
 * setpoint that would do, its margin included. Null where no part of the load shows both.
 */
export function setpointOverFloorAdvice(floor: SteadyFloor | null, margin_K: number): Advice | null {
  const bounded = partsOf(floor).filter(
    (part): part is BoundedPart => !part.bracketed && part.huntedUpTo_K !== null && isApart(part),
  );
  const known = setpointAdvice(floor, margin_K);
  if (bounded.length === 0) return known;
  const highest = highestOf(bounded);
  if (known !== null && known.figures.setpoint.value >= highest.floor_K) return known;
  const figureOf = (part: BoundedPart): AdvisedFigure => ({
    value: part.floor_K,
    low: Math.min(part.floor_K, part.huntedUpTo_K + margin_K),
    high: part.floor_K + margin_K,
    unit: 'K',
  });
  const setpoint = figureOf(highest);
  const steadyHours = bounded.reduce((sum, part) => sum + part.steadyHours, 0);
  return {
    change: 'setpoint',
    sentence: statement(
      'A superheat setpoint of {setpoint} would be steady: this circuit has held that much steadily at the loads at which it is now restless. A lower one, down to {low}, may do as well.',
      {
        setpoint: quantity('temperature-difference', setpoint.value),
        low: quantity('temperature-difference', setpoint.low),
      },
    ),
    basis: statement(
      floor!.against === 'compressor-load'
        ? 'Steady for {hours} in {parts} parts of the load, restless there up to {restless}; the steady floor lies between, {margin} is kept above it. To be changed by authorised staff only.'
        : 'Steady for {hours} in {parts} parts of the opening, restless there up to {restless}; the steady floor lies between, {margin} is kept above it. To be changed by authorised staff only.',
      {
        hours: quantity('duration', 3600 * steadyHours),
        parts: quantity('count', bounded.length),
        restless: quantity('temperature-difference', highest.huntedUpTo_K),
        margin: quantity('temperature-difference', margin_K),
      },
    ),
    figures: { setpoint, ...byPart(bounded, figureOf) },
  };
}

const partsOf = (floor: SteadyFloor | null): KnownPart[] =>
  (floor?.parts ?? []).filter(
    (part): part is KnownPart => part.floor_K !== null && part.uncertainty_K !== null,
  );

/** Restless windows beside steady ones at the same superheat are restless for another reason than a low superheat. */
const leastApart_K = 0.5;
const isApart = ({ floor_K, huntedUpTo_K }: KnownPart): boolean =>
  floor_K - (huntedUpTo_K ?? floor_K) >= leastApart_K;

const highestOf = <P extends KnownPart>(parts: readonly P[]): P =>
  parts.reduce((one, other) => (other.floor_K > one.floor_K ? other : one));

const byPart = <P extends KnownPart>(
  parts: readonly P[],
  figureOf: (part: P) => AdvisedFigure,
): Record<string, AdvisedFigure> =>
  Object.fromEntries(parts.map((part) => [`from ${part.from} to ${part.to} %`, figureOf(part)]));
