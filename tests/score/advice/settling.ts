import { simulateLoadSteps, type CircuitCase } from '@coldrounds/simulator';

/** Factors on the gain and the integral time that a circuit was built with. */
export interface Tuning {
  gain: number;
  integralTime: number;
}

/** Steps of the compressor up and down again, at low load and at high. */
const steps = [
  [0.45, 0.6, 0.45],
  [0.75, 0.95, 0.75],
];
const hold_s = 900;
const sample_s = 10;
/** Superheat has settled when it stays this near to its setpoint: root mean square of several runs, by means of a minute. */
const within_K = 0.5;

/** Time to settle after the slowest of the load steps, s; the whole time that a load is held where it never settles. */
export function settlingTime(unit: CircuitCase, { gain, integralTime }: Tuning, runs: number): number {
  const faults = [{ kind: 'loop-tuned-too-hard' as const, gain, integralTime }];
  return Math.max(
    ...steps.map((loads) => slowest(simulateLoadSteps({ ...unit, faults }, { loads, hold_s }, runs))),
  );
}

function slowest(runs: readonly Float64Array[]): number {
  const samples = hold_s / sample_s;
  const minute = 60 / sample_s;
  let worst_s = 0;
  for (let from = 0; from < runs[0].length; from += samples) {
    for (let k = samples - minute; k >= 0; k--) {
      const squares = runs.reduce((sum, run) => {
        const over = run.subarray(from + k, from + k + minute);
        return sum + (over.reduce((one, other) => one + other, 0) / minute) ** 2;
      }, 0);
      if (Math.sqrt(squares / runs.length) > within_K) {
        worst_s = Math.max(worst_s, Math.min(hold_s, (k + minute) * sample_s));
        break;
      }
    }
  }
  return worst_s;
}

export interface BestTuning extends Tuning {
  settling_s: number;
}

/** The tuning that settles fastest of a grid, and of a finer one around the best of it. */
export function bestTuning(unit: CircuitCase, runs: number): BestTuning {
  const from = (low: number, high: number, count: number) =>
    Array.from({ length: count }, (_, k) => low * (high / low) ** (k / (count - 1)));
  const best = (gains: readonly number[], times: readonly number[]) =>
    gains
      .flatMap((gain) => times.map((integralTime) => ({ gain, integralTime })))
      .map((tuning) => ({ ...tuning, settling_s: settlingTime(unit, tuning, runs) }))
      .reduce((one, other) => (other.settling_s < one.settling_s ? other : one));
  const coarse = best(from(0.35, 2, 5), from(0.35, 2.2, 5));
  const fine = best(
    from(coarse.gain / 1.2, coarse.gain * 1.2, 3),
    from(coarse.integralTime / 1.25, coarse.integralTime * 1.25, 3),
  );
  return fine.settling_s < coarse.settling_s ? fine : coarse;
}
