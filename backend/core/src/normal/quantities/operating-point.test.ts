import { describe, expect, it } from 'vitest';
import { only, r134a } from '../../diagnosis/causes/sample-channels.js';
import { choosePoint } from './operating-point.js';

const machine = r134a();
/** Plateaus at loads from 30 to 100 % with condenser water from 295 to 303 K, and this flow of the condenser. */
const plateaus = (flow: (load: number, i: number) => number) =>
  Array.from({ length: 24 }, (_, i) => {
    const load = 30 + 10 * (i % 8);
    return only({
      compressorLoad_pct: load,
      condenserEnteringTemperature_K: 295 + 4 * Math.floor(i / 8),
      leavingWaterTemperature_K: 280 + Math.sin(i),
      condenserFlow_m3_s: 0.02 * flow(load, i),
    });
  });

describe('the flow of a condenser', () => {
  it('is a condition of its own where the plant varies it freely', () => {
    const point = choosePoint(
      machine,
      plateaus((_, i) => 1 + 0.2 * Math.sin(2.4 * i)),
    );
    expect(point.used).toContain('condenserFlow');
  });

  it('is none where a pump has it follow the load, or where it is held: less of it is then a departure', () => {
    expect(
      choosePoint(
        machine,
        plateaus((load) => 0.5 + load / 200),
      ).used,
    ).not.toContain('condenserFlow');
    expect(
      choosePoint(
        machine,
        plateaus((_, i) => 1 + 0.01 * Math.sin(2.4 * i)),
      ).used,
    ).not.toContain('condenserFlow');
  });
});
