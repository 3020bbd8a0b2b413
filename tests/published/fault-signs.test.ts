import {
  channelValues,
  condensing_K,
  evaporating_K,
  machineOf,
  physicalPatterns,
  quantityValues,
  type Cause,
  type ChannelValues,
} from '@coldrounds/core';
import { describe, expect, it } from 'vitest';

/**
 * Signs of the published fault tables (MEMORY, Rossi & Braun 1997, HVAC&R Research 3:19; Breuker & Braun 1998). They are of
 * fixed-orifice air units at free capacity; left out are entries that follow from that: superheat where a valve holds
 * it, and every change that only comes from a lower capacity, as patterns here are at the same cooling.
 */
const published: {
  cause: Cause;
  form?: string;
  signs: Partial<Record<'Te' | 'SH' | 'Tc' | 'SC' | 'Tdis' | 'dTcond' | 'dTevap', 1 | -1>>;
}[] = [
  // Where the condenser runs short, and superheat is held with it the discharge; and where the evaporator does.
  { cause: 'missing-refrigerant', form: 'in-condenser', signs: { Tc: -1, SC: -1 } },
  { cause: 'missing-refrigerant', form: 'in-evaporator', signs: { Te: -1, SH: 1, Tdis: 1 } },
  { cause: 'liquid-line-restricted', signs: { Te: -1, SH: 1, SC: 1, Tdis: 1 } },
  { cause: 'condenser-fouled', signs: { Tc: 1, Tdis: 1 } },
  { cause: 'condenser-flow-low', signs: { Tc: 1, Tdis: 1, dTcond: 1 } },
  { cause: 'evaporator-flow-low', signs: { dTevap: 1 } },
];

const machine = machineOf({ refrigerant: 'R134a', evaporator: 'flooded' });
const at: ChannelValues = channelValues({
  suctionPressure_Pa: { value: 340e3 },
  suctionTemperature_K: { value: 280 },
  dischargePressure_Pa: { value: 960e3 },
  dischargeTemperature_K: { value: 325 },
  liquidTemperature_K: { value: 308 },
  enteringWaterTemperature_K: { value: 287 },
  leavingWaterTemperature_K: { value: 281.5 },
  waterFlow_m3_s: { value: 0.02 },
  condenserEnteringTemperature_K: { value: 302 },
  condenserLeavingTemperature_K: { value: 308 },
  condenserFlow_m3_s: { value: 0.021 },
  compressorPower_W: { value: 90e3 },
});

function changes(cause: Cause, form?: string): Record<string, number> {
  const pattern = physicalPatterns(machine, at).find(
    (one) => one.cause === cause && (form === undefined || one.form === form),
  )!;
  const moved = { ...at };
  for (const [channel, by] of Object.entries(pattern.moves)) {
    if (Number.isFinite(by)) moved[channel as keyof ChannelValues] += by;
  }
  const [before, after] = [quantityValues(machine, at), quantityValues(machine, moved)];
  return {
    Te: evaporating_K(machine, moved.suctionPressure_Pa) - evaporating_K(machine, at.suctionPressure_Pa),
    Tc: condensing_K(machine, moved.dischargePressure_Pa) - condensing_K(machine, at.dischargePressure_Pa),
    SH: after.superheat_K - before.superheat_K,
    SC: after.subcooling_K - before.subcooling_K,
    Tdis: moved.dischargeTemperature_K - at.dischargeTemperature_K,
    dTcond: after.condenserDifference_K - before.condenserDifference_K,
    dTevap: after.evaporatorDifference_K - before.evaporatorDifference_K,
    approach: after.condenserApproach_K - before.condenserApproach_K,
    power: moved.compressorPower_W - at.compressorPower_W,
  };
}

describe('patterns of causes', () => {
  it.each(published)('$cause moves what the published tables say, the same way', ({ cause, form, signs }) => {
    const changed = changes(cause, form);
    for (const [name, sign] of Object.entries(signs)) expect(Math.sign(changed[name]), name).toBe(sign);
  });

  it('tell gas from fouling by subcooling, which rises with the approach, and from too much charge by their ratio', () => {
    const gas = changes('gas-in-circuit');
    const fouled = changes('condenser-fouled');
    const excess = changes('excess-refrigerant');
    expect(gas.SC / gas.approach).toBeGreaterThan(0.7);
    expect(Math.abs(fouled.SC / fouled.approach)).toBeLessThan(0.3);
    expect(excess.SC / excess.approach).toBeGreaterThan(2);
  });

  it('cost power by the lift: 1 K of 31 K of condensing is about 3 %', () => {
    const { power, Tc } = changes('condenser-fouled');
    expect(power / 90e3 / Tc).toBeGreaterThan(0.025);
    expect(power / 90e3 / Tc).toBeLessThan(0.04);
  });
});
