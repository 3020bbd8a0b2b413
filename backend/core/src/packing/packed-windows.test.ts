import { describe, expect, it } from 'vitest';
import { saturationPressure } from '../refrigerants/index.js';
import { judgeWindow } from '../steadiness/windows/judge-window.js';
import { circuit } from '../steadiness/sample-circuit.js';
import type { WindowJudgement } from '../steadiness/windows/window-judgement.js';
import { emptyCircuitSeries } from '../telemetry/circuit-series.js';
import { PackError } from './packing.js';
import { packWindows, unpackWindows } from './packed-windows.js';

const start_s = 1_780_344_000;

/** Two hours that hunt, stand still, or were never sent. */
function judged(kind: 'hunting' | 'standing' | 'silent'): WindowJudgement {
  const series = emptyCircuitSeries(kind === 'silent' ? 0 : 720);
  for (let i = 0; i < series.time_s.length; i++) {
    const swing = Math.sin((2 * Math.PI * i) / 19);
    const evaporating_K = 276 + 0.3 * swing;
    series.time_s[i] = start_s + 10 * i + 0.05;
    series.suctionPressure_Pa[i] =
      kind === 'hunting' ? saturationPressure('R134a', evaporating_K, 'dew') : 7e5;
    series.suctionTemperature_K[i] = evaporating_K + 6 + 1.5 * Math.sin((2 * Math.PI * i) / 19 + 1);
    series.valveOpening_pct[i] = kind === 'hunting' ? 45 + 5 * swing : 0;
  }
  const window = { from_s: start_s, to_s: start_s + 7200 };
  return judgeWindow({ series, refrigerant: 'R134a', circuit, window });
}

/** Every leaf by its path. */
function leaves(value: unknown, path = ''): [string, unknown][] {
  if (value === null || typeof value !== 'object') return [[path, value]];
  return Object.entries(value).flatMap(([name, inner]) => leaves(inner, `${path}.${name}`));
}

describe('judged windows, packed', () => {
  const kept = (['hunting', 'standing', 'silent'] as const).map((kind, index) => ({
    start_s: start_s + 7200 * index,
    judgedAt_s: start_s + 7200 * index + 0.5,
    judgement: judged(kind),
  }));

  it('come back with every field, times exact and figures to 7 digits', () => {
    const back = unpackWindows(packWindows(kept));
    const [before, after] = [leaves(kept), new Map(leaves(back))];
    expect([...after.keys()].sort()).toEqual(before.map(([path]) => path).sort());
    expect(kept[0].judgement.oscillation.partners.length).toBeGreaterThan(0);
    for (const [path, value] of before) {
      const found = after.get(path);
      if (typeof value !== 'number') expect(found, path).toBe(value);
      else if (path.endsWith('_s') && value > 1e9) expect(found, path).toBe(value);
      else expect(Math.abs((found as number) - value), path).toBeLessThanOrEqual(6e-8 * Math.abs(value));
    }
  });

  it('are the same bytes when packed again', () => {
    const bytes = packWindows(kept);
    expect(packWindows(unpackWindows(bytes))).toEqual(bytes);
  });

  it('tell indices by their present names where they were packed under earlier ones', () => {
    const [hunting] = kept;
    const { oscillation } = hunting.judgement;
    const earlier = {
      ...hunting,
      judgement: {
        ...hunting.judgement,
        oscillation: {
          ...oscillation,
          indices: { lombScargleShare: 0.5, haegglundLoadShare: 0.25, phaseKeeping: 1 },
          originIndices: { openingShare: 0.75 },
        },
      },
    };
    const back = unpackWindows(packWindows([earlier]))[0].judgement.oscillation;
    expect(back.indices).toEqual({ lombScarglePower: 0.5, haegglundLoadFraction: 0.25, phaseKeeping: 1 });
    expect(back.originIndices).toEqual({ openingVarianceFraction: 0.75 });
  });

  it('are refused where they are cut short or of a version to come', () => {
    const bytes = packWindows(kept);
    expect(() => unpackWindows(bytes.subarray(0, bytes.length - 3))).toThrow(PackError);
    const later = Uint8Array.from(bytes);
    later[0] = 200;
    expect(() => unpackWindows(later)).toThrow(/version 200/);
  });
});
