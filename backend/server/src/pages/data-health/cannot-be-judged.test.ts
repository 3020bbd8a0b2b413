import { emptyCircuitSeries, learnHabits, signalReports } from '@coldrounds/core';
import { describe, expect, it } from 'vitest';
import { cannotBeJudged, type JudgedUnit } from './cannot-be-judged.js';

/** Two hours of 10 s samples in which these signals come. */
function signalsOf(...names: ('suctionPressure_Pa' | 'suctionTemperature_K' | 'valveOpening_pct')[]) {
  const series = emptyCircuitSeries(720);
  series.time_s = series.time_s.map((_, i) => 1.78e9 + i * 10);
  for (const name of names) series[name] = series[name].map((_, i) => 300 + Math.sin(i));
  return signalReports(series, learnHabits(series));
}

const circuit = { number: 1, converting: false, signals: null, plateausSoFar: null };
const unit = (changed: Partial<JudgedUnit> = {}): JudgedUnit => ({
  ...{ evaporator: 'dry-expansion', neverHeard: false, silent: false, newest_s: 1.78e9 },
  ...{ circuits: [circuit], verdicts: [], missing: [], failures: [] },
  ...changed,
});
const texts = (changed: Partial<JudgedUnit>) =>
  cannotBeJudged(unit(changed)).map(({ part, because }) => `${part}: ${because.text}`);

describe('what cannot be judged', () => {
  it('is nothing where nothing is in the way', () => {
    expect(cannotBeJudged(unit())).toEqual([]);
  });

  it('is everything of a unit that was never heard, or sends nothing', () => {
    expect(texts({ neverHeard: true })).toEqual(['unit: It has never sent a reading.']);
    expect(texts({ silent: true })).toEqual(['unit: It sends nothing; the last reading was at {last}.']);
  });

  it('is what hangs on a signal that does not come', () => {
    const found = texts({
      circuits: [{ ...circuit, signals: signalsOf('suctionPressure_Pa', 'valveOpening_pct') }],
    });
    expect(found).toContain('circuit 1: No suction temperature came from {from} to {to}.');
    expect(found).toContain('circuit 1: No liquid temperature came from {from} to {to}.');
    expect(found.join()).not.toContain('valve opening');
    // A flooded evaporator is not judged by superheat at its outlet.
    const flooded = texts({
      evaporator: 'flooded',
      circuits: [{ ...circuit, signals: signalsOf('suctionPressure_Pa', 'valveOpening_pct') }],
    });
    expect(flooded.join()).not.toContain('suction temperature');
  });

  it('is what a wrong sensor forbids, what is being converted, and what is not learned yet', () => {
    const found = texts({
      circuits: [{ ...circuit, converting: true, plateausSoFar: 11 }],
      verdicts: [
        {
          condition: 'sensor-loose',
          certainty: 'likely',
          subject: { kind: 'sensor', circuit: 1, sensor: 'suction-temperature' },
        },
      ],
    });
    expect(found[0]).toContain('converted anew');
    expect(found.join()).toContain('A sensor from which superheat is worked out reads wrong');
    expect(found.join()).toContain('Swings may be those of a faulty sensor');
    expect(found.at(-1)).toContain('{seen} plateaus');
  });

  it('is what the registry does not know, and what failed', () => {
    const found = cannotBeJudged(
      unit({
        missing: [
          { part: 'circuit 1', fact: 'Kv of the valve', cost: 'No advice on the size of the valve.' },
        ],
        failures: [{ part: 'circuit 1', reason: 'a value {x} is wrong' }],
      }),
    );
    expect(found.map(({ because }) => because.text)).toEqual([
      'The judgement of some of it failed: a value x is wrong',
      'Not known in the registry: Kv of the valve.',
    ]);
  });
});
