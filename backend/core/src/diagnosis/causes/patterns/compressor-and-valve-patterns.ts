import type { CausePattern } from './cause-pattern.js';
import { orElse, pressureMove, type PatternState } from './pattern-state.js';
import { priorOf } from './priors.js';

/** A weak compressor, a restricted liquid line and, where an opening is sent, a valve that passes other than it counts. */
export function compressorAndValvePatterns(state: PatternState): CausePattern[] {
  const opening = Number.isFinite(state.at.valveOpening_pct);
  return [weakCompressor(state), restriction(state), ...(opening ? valvePatterns(state) : [])];
}

/**
 * A tenth more power for the same cooling at the reference. What leaks back through valves and clearances goes with the
 * pressure difference and hardly with the load, so that it is as much in watts at part load and a larger share there; it is
 * compressed again, and most of that leaves with the discharge. Where the load is met by stages, a compressor that is off leaks nothing:
 * then it is the same share at any load, by which the pattern is unsure.
 */
function weakCompressor({ at, reference, addedFraction }: PatternState): CausePattern {
  const usual = orElse(reference.compressorPower_W, at.compressorPower_W);
  const tenth = 0.1;
  const share = Math.min(0.3, orElse(tenth * (usual / at.compressorPower_W), tenth));
  const rise = orElse(at.dischargeTemperature_K - at.suctionTemperature_K, 40);
  const change = orElse(at.condenserLeavingTemperature_K - at.condenserEnteringTemperature_K, 5);
  const moves = (part: number) => ({
    compressorPower_W: part * at.compressorPower_W,
    compressorLoad_pct: part * at.compressorLoad_pct,
    dischargeTemperature_K: part * rise,
    condenserLeavingTemperature_K: part * addedFraction * change,
  });
  return {
    cause: 'compressor-weak',
    moves: moves(share),
    doubts: {
      compressorLoad_pct: 0.6 * share * at.compressorLoad_pct,
      dischargeTemperature_K: 0.6 * share * rise,
      suctionTemperature_K: 0.2,
      liquidTemperature_K: 0.1,
    },
    jointDoubts: [moves(tenth - share)],
    severity: { median: 0.8, spread: 0.8 },
    eitherWay: false,
    prior: 0.06,
  };
}

/**
 * How far the extra opening of a valve may go otherwise with the flow than a linear valve's, as a share of it: with Kv squared
 * times the opening where Kv goes with the opening, with Kv squared alone where an equal percentage does. Over flows from 0.6 to 1
 * the two differ by a quarter either way.
 */
const characteristic = 0.25;

/**
 * With a valve that still has room, it opens further and hardly anything else moves. Restriction and valve are in series,
 * 1/Kv2 of both adding up (IEC 60534-2-1, from memory), so that the share by which the valve opens further goes with the square of the
 * Kv that flow and pressure difference ask for. A flooded evaporator without such a valve starves, with the square of the flow.
 */
function restriction({ machine, at, reference, evaporating_K, heat }: PatternState): CausePattern {
  const wet = machine.evaporator !== 'dry-expansion';
  const starved = wet ? heat * heat : 1;
  const difference = ({ dischargePressure_Pa, suctionPressure_Pa }: typeof at) =>
    dischargePressure_Pa - suctionPressure_Pa;
  const asked = heat * heat * orElse(difference(reference) / difference(at), 1);
  const opened = 0.15 * (wet ? starved : asked) * at.valveOpening_pct;
  const suction = (kelvin: number) =>
    pressureMove(machine, at.suctionPressure_Pa, evaporating_K, kelvin * starved);
  return {
    cause: 'liquid-line-restricted',
    moves: {
      valveOpening_pct: opened,
      liquidTemperature_K: (wet ? -0.3 : -0.02) * starved,
      suctionPressure_Pa: suction(wet ? -0.4 : -0.02),
      suctionTemperature_K: (wet ? 0.3 : 0.02) * starved,
      dischargeTemperature_K: (wet ? 0.7 : 0.04) * starved,
    },
    doubts: {
      valveOpening_pct: (wet ? 0.53 : characteristic) * opened,
      liquidTemperature_K: (wet ? 0.3 : 0.05) * starved,
      suctionPressure_Pa: suction(wet ? 0.3 : 0.04),
      suctionTemperature_K: (wet ? 0.5 : 0.05) * starved,
      dischargeTemperature_K: (wet ? 0.6 : 0.08) * starved,
    },
    severity: { median: 1.2, spread: 0.9 },
    eitherWay: false,
    prior: 0.07,
  };
}

/** Prior probability that a valve does not stand where it is counted, and that its seat no longer shuts. */
const lostSteps = 0.05;
/** Of two valves on one signal, how often it is one of them that lost steps, and not both by the same number. Judgement, no source. */
const oneOfTwo = 0.9;
/** What passes a seat that no longer shuts, as the opening that passes as much: some per cent of the stroke at most. Judgement, no source. */
const leak_pct = 3;

/**
 * Nothing else moves: the same flow passes at another counted position, the same number of steps off wherever the valve
 * stands. It opens further where steps were lost on the way open, less far where they were lost on the way shut, or where
 * something passes besides through a seat that no longer shuts: the two differ in how much it usually is, and in what
 * pressures do once the valve is shut. Two parallel valves on one signal that lost steps alike look like one; where one
 * alone lost them, the other makes up for half. A tenth of the opening at the reference.
 */
function valvePatterns({ machine, at, reference }: PatternState): CausePattern[] {
  const tenth = 0.1 * orElse(reference.valveOpening_pct, at.valveOpening_pct);
  const doubts = { suctionTemperature_K: 0.1 };
  const offset = {
    moves: { valveOpening_pct: tenth },
    doubts,
    severity: { median: 1.2, spread: 0.8 },
    eitherWay: true,
  };
  const two = machine.valve.motors > 1;
  return [
    { ...offset, cause: 'valve-offset', prior: lostSteps * (two ? 1 - oneOfTwo : 1) },
    ...(two ? [{ ...offset, cause: 'tandem-mismatch' as const, prior: lostSteps * oneOfTwo }] : []),
    {
      cause: 'valve-leaks-by',
      moves: { valveOpening_pct: -leak_pct },
      doubts,
      severity: { median: 1, spread: 0.8 },
      eitherWay: false,
      prior: priorOf['valve-leaks-by'],
    },
  ];
}
