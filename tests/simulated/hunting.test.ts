import { describe, expect, it } from 'vitest';
import { assessCircuit, hunts, steadyFloorOf, type HuntingCause } from '@coldrounds/core';
import { simulateCircuit, type CircuitCase, type SimulatedCircuit } from '@coldrounds/simulator';
import { printedSeed } from '../published/random-series.js';
import { windowsOf } from './windows-of.js';

/** Circuits with a known cause, on fresh seeds: the simulator knows nothing of the analysis and the analysis nothing of it. */
const seed = printedSeed('simulated hunting') % 1_000_000;
const refrigerants = ['R134a', 'R454B', 'R1234ze(E)', 'R410A', 'R32', 'R513A'];

function assess(simulated: SimulatedCircuit) {
  const { refrigerant, circuits } = simulated.unit;
  const windows = windowsOf(simulated.series, refrigerant, simulated.entry);
  const neighbours = simulated.neighbours.map((series, i) =>
    windowsOf(series, refrigerant, circuits[i + 1]!),
  );
  return assessCircuit({ windows, refrigerant, circuit: simulated.entry, neighbours });
}

const make = (k: number, rest: Partial<CircuitCase>): CircuitCase => ({
  seed: seed + k,
  days: 1,
  refrigerant: refrigerants[k % refrigerants.length],
  condenser: k % 2 ? 'air' : 'water',
  ...rest,
});

const causes: { cause: HuntingCause; faults: NonNullable<CircuitCase['faults']> }[] = [
  { cause: 'loop-too-tight', faults: [{ kind: 'loop-tuned-too-hard' }] },
  { cause: 'valve-too-large', faults: [{ kind: 'valve-too-large' }] },
  { cause: 'valve-friction', faults: [{ kind: 'valve-friction' }] },
  { cause: 'valve-friction', faults: [{ kind: 'lost-steps' }] },
  { cause: 'load-or-water-swings', faults: [{ kind: 'load-swing' }] },
  { cause: 'load-or-water-swings', faults: [{ kind: 'load-swing', period_s: 260, amplitude_K: 0.8 }] },
  { cause: 'circuits-disturb-each-other', faults: [{ kind: 'circuits-disturbing' }] },
  { cause: 'under-steady-floor', faults: [{ kind: 'setpoint', setpoint_K: 3 }] },
];

describe('the cause of hunting', () => {
  it('is right in at least 85 % of the circuits that hunt', () => {
    let hunting = 0;
    let right = 0;
    causes.forEach(({ cause, faults }, kind) => {
      let here = 0;
      let rightHere = 0;
      for (let k = 0; k < 5; k++) {
        const { hunting: found } = assess(simulateCircuit(make(1000 * kind + k, { faults })));
        if (!found) continue;
        here++;
        if (found.causes[0]!.key === cause) rightHere++;
      }
      console.log(`${faults[0]!.kind}: ${here} of 5 hunt, cause right in ${rightHere}`);
      hunting += here;
      right += rightHere;
    });
    console.log(`cause right in ${right} of ${hunting} hunting circuits`);
    expect(hunting).toBeGreaterThan(25);
    expect(right / hunting).toBeGreaterThanOrEqual(0.85);
  });

  it('is never given for a steady circuit, nor for one that only measures noisily', () => {
    for (let k = 0; k < 15; k++) {
      const faults = k % 3 === 2 ? [{ kind: 'measurement-noise' } as const] : [];
      const assessment = assess(
        simulateCircuit(make(20_000 + k, { faults, missingFraction: k % 2 ? 0.1 : 0 })),
      );
      expect(assessment.hunting, `circuit ${k}`).toBeNull();
      expect(assessment.findings.filter(({ condition }) => condition === 'hunting')).toEqual([]);
    }
  });

  it('is found with a tenth of the samples missing and gaps in between', () => {
    let found = 0;
    for (let k = 0; k < 6; k++) {
      const rough = make(30_000 + k, {
        faults: [{ kind: 'valve-too-large' }],
        missingFraction: 0.1,
        gapsPerDay: 3,
      });
      if (assess(simulateCircuit(rough)).hunting) found++;
    }
    expect(found).toBeGreaterThanOrEqual(5);
  });
});

/** Both circuits of a unit, each with the other as its neighbour. */
function assessBoth(simulated: SimulatedCircuit) {
  const { refrigerant, circuits } = simulated.unit;
  const own = windowsOf(simulated.series, refrigerant, circuits[0]!);
  const other = windowsOf(simulated.neighbours[0]!, refrigerant, circuits[1]!);
  return [
    assessCircuit({ windows: own, refrigerant, circuit: circuits[0]!, neighbours: [other] }).hunting,
    assessCircuit({ windows: other, refrigerant, circuit: circuits[1]!, neighbours: [own] }).hunting,
  ] as const;
}

describe('two circuits on one water', () => {
  it('of which one is tuned too hard: that one is named, though the other is swung along at its period', () => {
    let named = 0;
    for (let k = 0; k < 5; k++) {
      const faults: CircuitCase['faults'] = [
        { kind: 'loop-tuned-too-hard', circuit: 1 },
        { kind: 'setpoint', circuit: 2, setpoint_K: k % 2 ? 10.5 : 6 },
      ];
      const [first, second] = assessBoth(simulateCircuit(make(60_000 + k, { circuits: 2, faults })));
      if (first?.causes[0]!.key === 'loop-too-tight' && first.causes[0]!.weight > 0.8) named++;
      // Now and then it is swung just over the 0.5 K from where hunting is spoken of; then the other circuit is blamed.
      if (second) {
        expect(second.causes[0]!.key, `circuit 2 of case ${k}`).toBe('circuits-disturb-each-other');
        expect(second.amplitude_K, `circuit 2 of case ${k}`).toBeLessThan(first!.amplitude_K / 3);
      }
    }
    expect(named).toBeGreaterThanOrEqual(4);
  });

  it('that are both tuned too hard, each at its own period, are not said to disturb each other', () => {
    let apart = 0;
    for (let k = 0; k < 5; k++) {
      const faults: CircuitCase['faults'] = [{ kind: 'loop-tuned-too-hard' }];
      const pair = assessBoth(simulateCircuit(make(61_000 + k, { circuits: 2, faults })));
      if (!pair[0] || !pair[1] || Math.abs(pair[0].period_s / pair[1].period_s - 1) < 0.04) continue;
      apart++;
      for (const hunting of pair)
        expect(hunting!.causes[0]!.key, `case ${k}`).not.toBe('circuits-disturb-each-other');
    }
    expect(apart).toBeGreaterThan(0);
  });
});

describe('the steady floor', () => {
  // Over 420 such circuits (1028 claimed parts, 2.4 a circuit) the floor lay at most 0.70 K from the truth; 120 of them, with
  // 299 parts, were simulated only once the rule was settled. Over 700 more with other setpoints, days, missing samples,
  // loads, staged compressors and faults 614 claimed parts lay within 0.87 K. Ten circuits claim under eight parts in one
  // draw of 50 000.
  it('lies within 1 K of the truth in every part of load in which it is claimed', () => {
    const errors: number[] = [];
    for (let k = 0; k < 10; k++) {
      const simulated = simulateCircuit(
        make(40_000 + k, {
          days: 14,
          setpoint: { value_K: 8, search: { least_K: 3, step_K: 0.5, every_h: 4 } },
        }),
      );
      const floor = steadyFloorOf(windowsOf(simulated.series, simulated.unit.refrigerant, simulated.entry))!;
      for (const part of floor.parts)
        if (part.bracketed)
          errors.push(part.floor_K! - truthAt(simulated.truth.floor, (part.from + part.to) / 200));
    }
    console.log(
      `steady floor, ${errors.length} parts claimed, errors: ${errors.map((e) => e.toFixed(2)).join(' ')}`,
    );
    expect(errors.length).toBeGreaterThanOrEqual(8);
    expect(Math.max(...errors.map(Math.abs))).toBeLessThanOrEqual(1);
  });

  it('is not claimed from one setpoint alone', () => {
    const simulated = simulateCircuit(make(50_000, { days: 4 }));
    const windows = windowsOf(simulated.series, simulated.unit.refrigerant, simulated.entry);
    expect(windows.some(hunts)).toBe(false);
    expect(steadyFloorOf(windows)!.parts.some((part) => part.bracketed)).toBe(false);
  });
});

function truthAt(floor: { load: number; superheat_K: number }[], load: number): number {
  let i = 0;
  while (i < floor.length - 2 && floor[i + 1]!.load < load) i++;
  const [a, b] = [floor[i]!, floor[i + 1]!];
  return a.superheat_K + ((load - a.load) / (b.load - a.load)) * (b.superheat_K - a.superheat_K);
}
