import { describe, expect, it } from 'vitest';
import { assessSensors, type CircuitSeries, type Finding } from '@coldrounds/core';
import { simulateCircuit, type CircuitCase, type Fault } from '@coldrounds/simulator';
import { sliced } from '../windows-of.js';

/** Kinds of units: refrigerant and condenser, with zeotropic blends of low and of high glide among them. */
const kinds = [
  { refrigerant: 'R134a', condenser: 'water' },
  { refrigerant: 'R410A', condenser: 'air' },
  { refrigerant: 'R1234ze(E)', condenser: 'water' },
  { refrigerant: 'R32', condenser: 'air' },
  { refrigerant: 'R454B', condenser: 'air' },
  { refrigerant: 'R407C', condenser: 'water' },
] as const;

const conditionOf = (finding: Finding) =>
  `${finding.condition} ${finding.subject.kind === 'sensor' ? finding.subject.sensor : ''}`;

function slice(series: CircuitSeries, from_s: number, to_s: number): CircuitSeries {
  const from = series.time_s.findIndex((time) => time >= from_s);
  const until = series.time_s.findIndex((time) => time >= to_s);
  const to = until < 0 ? series.time_s.length : until;
  return sliced(series, from, to);
}

/** Findings of each day by itself. */
function daily(input: CircuitCase): Finding[][] {
  const { series, entry, unit } = simulateCircuit(input);
  const days = input.days ?? 1;
  const start_s = series.time_s[0];
  return Array.from({ length: days }, (_, day) => {
    const part = slice(series, start_s + day * 86_400, start_s + (day + 1) * 86_400);
    return assessSensors({ refrigerant: unit.refrigerant, circuit: entry, series: part }).findings;
  });
}

describe('healthy circuits', () => {
  it('give no sensor finding on any day of thirty circuit-weeks', () => {
    const wrong: string[] = [];
    let looked = 0;
    for (let seed = 1; seed <= 30; seed++) {
      const kind = kinds[seed % kinds.length];
      for (const findings of daily({ seed: 500 + seed, days: 7, ...kind })) {
        looked++;
        wrong.push(
          ...findings.map((finding) => `seed ${500 + seed} ${kind.refrigerant}: ${conditionOf(finding)}`),
        );
      }
    }
    expect(looked).toBe(210);
    expect(wrong).toEqual([]);
  });

  it.each([
    [{ kind: 'undercharge', share: 0.25 }],
    [{ kind: 'condenser-fouling', share: 0.4 }],
    [{ kind: 'valve-friction', stick_pct: 5 }],
    [{ kind: 'loop-tuned-too-hard' }],
    [{ kind: 'liquid-line-restriction', share: 0.4 }],
    [{ kind: 'setpoint', setpoint_K: 12 }],
  ] as [Fault][])('%o of the circuit is not taken for a fault of a sensor', (fault) => {
    const findings = kinds.flatMap((kind, i) =>
      daily({ seed: 700 + i, days: 1, ...kind, faults: [fault] }).flat(),
    );
    expect(findings.map(conditionOf)).toEqual([]);
  });
});

describe('sensor faults of three sizes, within a day that has a standstill', () => {
  const sizes: [Fault & { kind: 'sensor-bias' }][] = [];
  for (const sensor of ['suction-pressure', 'discharge-pressure'] as const) {
    for (const bias of [0.15e5, -0.15e5, 0.3e5, -0.3e5, 0.6e5])
      sizes.push([{ kind: 'sensor-bias', sensor, bias }]);
  }
  for (const sensor of ['suction-temperature', 'discharge-temperature', 'liquid-temperature'] as const) {
    for (const bias of [1.5, -1.5, 3, -3, 6]) sizes.push([{ kind: 'sensor-bias', sensor, bias }]);
  }

  it.each(sizes)('%o is found, on that sensor alone', (fault) => {
    kinds.forEach((kind, i) => {
      const [findings] = daily({ seed: 800 + i, ...kind, faults: [fault] });
      expect(findings.map(conditionOf), kind.refrigerant).toEqual([`sensor-bias ${fault.sensor}`]);
      const found = findings[0].headline.quantities.bias ?? findings[0].headline.quantities.difference;
      const allowed = fault.sensor.endsWith('pressure') ? 0.12e5 + 0.1 * Math.abs(fault.bias) : 0.4;
      expect(Math.abs(found.value - Math.abs(fault.bias)), kind.refrigerant).toBeLessThan(allowed);
    });
  });

  it.each([
    ['transducers-swapped suction-pressure', { kind: 'transducers-swapped' }],
    [
      'gauge-taken-for-absolute suction-pressure',
      { kind: 'gauge-taken-for-absolute', sensor: 'suction-pressure' },
    ],
    [
      'gauge-taken-for-absolute discharge-pressure',
      { kind: 'gauge-taken-for-absolute', sensor: 'discharge-pressure' },
    ],
    ['value-frozen suction-pressure', { kind: 'value-frozen', sensor: 'suction-pressure' }],
    ['value-frozen suction-temperature', { kind: 'value-frozen', sensor: 'suction-temperature' }],
    ['value-jumping suction-temperature', { kind: 'value-jumping', sensor: 'suction-temperature', size: 3 }],
    ['value-jumping suction-pressure', { kind: 'value-jumping', sensor: 'suction-pressure', size: 0.3e5 }],
    ['value-noisy suction-temperature', { kind: 'value-noisy', sensor: 'suction-temperature', spread: 0.5 }],
    ['value-noisy suction-pressure', { kind: 'value-noisy', sensor: 'suction-pressure', spread: 0.2e5 }],
    ['sensor-loose suction-temperature', { kind: 'sensor-loose', sensor: 'suction-temperature', share: 0.7 }],
    ['sensor-loose suction-temperature', { kind: 'sensor-loose', sensor: 'suction-temperature', share: 1 }],
  ] as [string, Fault][])('%s is found, and nothing else', (expected, fault) => {
    kinds.forEach((kind, i) => {
      const [findings] = daily({ seed: 900 + i, ...kind, faults: [fault] });
      expect(findings.map(conditionOf), kind.refrigerant).toEqual([expected]);
    });
  });

  it('a discharge temperature clipped at 40 C is told from a frozen one', () => {
    const fault: Fault = { kind: 'value-clipped', sensor: 'discharge-temperature', maximum: 313.15 };
    const [findings] = daily({ seed: 950, refrigerant: 'R410A', condenser: 'air', faults: [fault] });
    expect(findings.map(conditionOf)).toEqual(['value-clipped discharge-temperature']);
  });

  it.each([
    ['R134a', 'R1234ze(E)'],
    ['R134a', 'R513A'],
    ['R32', 'R454B'],
    ['R454B', 'R32'],
    ['R410A', 'R32'],
    ['R32', 'R410A'],
    ['R1234ze(E)', 'R134a'],
  ])(
    '%s registered where %s runs is called the wrong refrigerant, and the right one named',
    (refrigerant, actual) => {
      const [findings] = daily({ seed: 960, refrigerant, faults: [{ kind: 'wrong-refrigerant', actual }] });
      expect(findings.map((finding) => finding.condition)).toEqual(['wrong-refrigerant']);
      expect(findings[0].headline.text).toContain(actual);
    },
  );
});

describe('both pressures one atmosphere off', () => {
  it('by R454B where R410A is registered: both explanations are given, and neither is called likely', () => {
    const [findings] = daily({
      seed: 960,
      refrigerant: 'R410A',
      condenser: 'air',
      faults: [{ kind: 'wrong-refrigerant', actual: 'R454B' }],
    });
    expect(findings.map(({ condition }) => condition)).toEqual([
      'gauge-taken-for-absolute',
      'gauge-taken-for-absolute',
    ]);
    for (const { explanations, certainty, separatingCheck } of findings) {
      expect(certainty).toBe('possible');
      expect(explanations.map(({ weight }) => weight)).toEqual([0.5, 0.5]);
      expect(explanations[1].supports[0].text).toContain('R454B');
      expect(separatingCheck!.text).toContain('different temperatures');
    }
  });

  it('by two gauges on R134a, which no other refrigerant explains: both are named, likely', () => {
    const [findings] = daily({
      seed: 961,
      faults: [{ kind: 'gauge-taken-for-absolute', sensor: 'both' }],
    });
    expect(findings.map(conditionOf)).toEqual([
      'gauge-taken-for-absolute suction-pressure',
      'gauge-taken-for-absolute discharge-pressure',
    ]);
    expect(findings.every(({ certainty }) => certainty === 'likely')).toBe(true);
  });
});

describe('too little data', () => {
  it('says nothing of a bias where no standstill settled, and shows that none was seen', () => {
    const fault: Fault = { kind: 'sensor-bias', sensor: 'suction-pressure', bias: 0.3e5 };
    const { series, entry, unit } = simulateCircuit({ seed: 970, stand: null, faults: [fault] });
    const running = slice(series, series.time_s[0] + 8 * 3600, series.time_s[0] + 20 * 3600);
    const result = assessSensors({ refrigerant: unit.refrigerant, circuit: entry, series: running });
    expect(result.findings).toEqual([]);
    expect(result.standstills).toEqual([]);
  });

  it('takes an empty series for what it is', () => {
    const { series, entry, unit } = simulateCircuit({ seed: 971 });
    const none = slice(series, 0, 1);
    expect(assessSensors({ refrigerant: unit.refrigerant, circuit: entry, series: none })).toMatchObject({
      findings: [],
      standstills: [],
      running: null,
      water: { afterStops: null, atLowLoad: null, together: null },
    });
  });
});
