import { channels, machineOf, virtualSensors, type Plateau } from '@coldrounds/core';
import { describe, expect, it } from 'vitest';
import { randomChiller, steadyState } from './water-cooled-chiller.js';

const chiller = randomChiller(2);
const condition = { load: 0.8, condenserEntering_K: 298.15, leaving_K: 280.15 };
const state = steadyState(chiller, condition);
const plateau: Plateau = {
  from_s: 0,
  to_s: 1800,
  samples: 180,
  values: Object.fromEntries(
    channels.flatMap((channel) =>
      channel in state ? [[channel, { value: state[channel as keyof typeof state], uncertainty: 0 }]] : [],
    ),
  ),
};
const machine = machineOf({ refrigerant: chiller.refrigerant, evaporator: 'flooded' });

describe('virtual sensors', () => {
  const seen = virtualSensors(machine, plateau);

  it('find the capacity, the efficiency and the exchangers of the chiller that they look at', () => {
    expect(seen.capacity_W!.value / (0.8 * chiller.capacity_W)).toBeCloseTo(1, 2);
    const efficiency = chiller.efficiency * (1 - chiller.efficiencyFall * (0.8 - chiller.bestLoad) ** 2);
    expect(seen.isentropicEfficiency!.value).toBeCloseTo(efficiency, 2);
    expect(seen.condenserApproach_K!.value).toBeGreaterThan(0.5);
    expect(seen.subcooling_K!.value).toBeGreaterThan(1);
  });

  it('agree on the refrigerant flow by two ways that share no instrument but the vapour at the inlet', () => {
    const [water, compressor] = [seen.refrigerantFlowByWater_kg_s!, seen.refrigerantFlowByCompressor_kg_s!];
    const apart = Math.abs(water.value - compressor.value);
    expect(apart).toBeLessThan(2 * Math.hypot(water.uncertainty, compressor.uncertainty));
    expect(water.uncertainty / water.value).toBeGreaterThan(0.05);
  });

  it('say what each is worked out from, and leave out what the telemetry does not allow', () => {
    expect(seen.capacity_W!.source).toContain('water flow');
    expect(seen.refrigerantFlowByValve_kg_s).toBeUndefined();
    expect(seen.volumetricEfficiency).toBeUndefined();
  });
});
