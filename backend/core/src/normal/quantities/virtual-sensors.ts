import { isentropicDischarge, valueOrNaN, vapourDensity, vapourEnthalpy } from '../../refrigerants/index.js';
import type { Channel } from '../plateaus/channels.js';
import { valveFlow_kg_s } from '../../valve/valve-flow.js';
import { conductance, liquidEnthalpyOrNaN } from './exchanger.js';
import type { Machine } from './machine.js';
import type { Plateau } from '../plateaus/find-plateaus.js';
import {
  channelValues,
  condensing_K,
  evaporating_K,
  quantityValues,
  repeatability,
  waterHeat_W,
  type ChannelValues,
} from './quantities.js';

/** A quantity that no instrument measures, worked out from those that do. */
export interface VirtualReading {
  value: number;
  /** Standard uncertainty: of the plateau's means, of the instruments' repeatability, and of the way itself. */
  uncertainty: number;
  /** What it is worked out from. */
  source: string;
}

/** How well each way holds besides its instruments, as a share of the value (published accuracy of refrigerant flow by such means: 5 to 10 % rms). */
const ways = {
  condensing_K: { share: 0, source: 'discharge pressure, mean of dew and bubble point' },
  evaporating_K: { share: 0, source: 'suction pressure, mean of inlet and dew point' },
  condenserApproach_K: { share: 0, source: 'condensing temperature less leaving condenser water' },
  evaporatorApproach_K: { share: 0, source: 'leaving water less evaporating temperature' },
  subcooling_K: { share: 0, source: 'bubble point of discharge pressure less liquid temperature' },
  superheat_K: { share: 0, source: 'suction temperature less dew point of suction pressure' },
  dischargeSuperheat_K: { share: 0, source: 'discharge temperature less dew point of discharge pressure' },
  evaporatorDifference_K: { share: 0, source: 'entering less leaving water' },
  condenserDifference_K: { share: 0, source: 'leaving less entering condenser water' },
  capacity_W: { share: 0.01, source: 'water flow and temperature difference' },
  condenserConductance_W_K: { share: 0.03, source: 'effectiveness-NTU of the condenser' },
  evaporatorConductance_W_K: { share: 0.03, source: 'effectiveness-NTU of the evaporator' },
  isentropicEfficiency: {
    share: 0.01,
    source: 'suction and discharge states, lossless over real enthalpy rise',
  },
  volumetricEfficiency: { share: 0.05, source: 'refrigerant flow over swept volume times suction density' },
  refrigerantFlowByWater_kg_s: {
    share: 0.05,
    source: 'heat from the water over the enthalpy that the refrigerant takes up',
  },
  refrigerantFlowByCompressor_kg_s: {
    share: 0.08,
    source: 'compressor power over the enthalpy rise of the vapour',
  },
  refrigerantFlowByValve_kg_s: {
    share: 0.1,
    source: 'IEC 60534 with the Kv at the opening, liquid density and pressure difference',
  },
} as const;

export type VirtualSensor = keyof typeof ways;

/** Share of the compressor's power that the vapour takes up; the rest warms motor, oil and room (common practice, no source). */
const powerToVapour = 0.93;

/**
 * All virtual sensors of a plateau that its telemetry allows, each with its standard uncertainty and source. Of three ways
 * to the refrigerant flow, each rests on other instruments: where one disagrees with the two others, the fault lies with
 * what only it uses.
 */
export function virtualSensors(
  machine: Machine,
  plateau: Plateau,
): Partial<Record<VirtualSensor, VirtualReading>> {
  const at = channelValues(plateau.values);
  const values = valuesAt(machine, at);
  const variance = Object.fromEntries(
    Object.entries(values).map(([name, value]) => [name, (ways[name as VirtualSensor].share * value) ** 2]),
  );
  for (const channel of Object.keys(plateau.values) as Channel[]) {
    const { value, uncertainty } = plateau.values[channel]!;
    const step = Math.hypot(uncertainty, repeatability(channel, value));
    if (!(step > 0)) continue;
    const moved = valuesAt(machine, { ...at, [channel]: value + step });
    for (const name of Object.keys(values) as VirtualSensor[]) {
      const change = moved[name] - values[name];
      if (Number.isFinite(change)) variance[name] += change * change;
    }
  }
  return Object.fromEntries(
    (Object.keys(values) as VirtualSensor[])
      .filter((name) => Number.isFinite(values[name]))
      .map((name) => [
        name,
        { value: values[name], uncertainty: Math.sqrt(variance[name]), source: ways[name].source },
      ]),
  );
}

function valuesAt(machine: Machine, at: ChannelValues): Record<VirtualSensor, number> {
  const { refrigerant } = machine;
  const plain = quantityValues(machine, at);
  const { suctionPressure_Pa: suction, dischargePressure_Pa: discharge } = at;
  const inlet = valueOrNaN(() => vapourEnthalpy(refrigerant, suction, at.suctionTemperature_K));
  const outlet = valueOrNaN(() => vapourEnthalpy(refrigerant, discharge, at.dischargeTemperature_K));
  const lossless = valueOrNaN(
    () => isentropicDischarge(refrigerant, suction, at.suctionTemperature_K, discharge).enthalpyRise_J_kg,
  );
  const liquid = liquidEnthalpyOrNaN(refrigerant, at.liquidTemperature_K);
  const capacity = waterHeat_W(at);
  const byWater = machine.alone && capacity > 0 ? capacity / (inlet - liquid) : NaN;
  const density = valueOrNaN(() => vapourDensity(refrigerant, suction, at.suctionTemperature_K));
  const swept =
    machine.displacement_m3_s === null ? NaN : (machine.displacement_m3_s * at.compressorLoad_pct) / 100;
  return {
    condensing_K: condensing_K(machine, discharge),
    evaporating_K: evaporating_K(machine, suction),
    condenserApproach_K: plain.condenserApproach_K,
    evaporatorApproach_K: plain.evaporatorApproach_K,
    subcooling_K: plain.subcooling_K,
    superheat_K: plain.superheat_K,
    dischargeSuperheat_K: plain.dischargeSuperheat_K,
    evaporatorDifference_K: plain.evaporatorDifference_K,
    condenserDifference_K: plain.condenserDifference_K,
    capacity_W: capacity,
    condenserConductance_W_K:
      machine.condenser === 'water' && machine.alone
        ? conductance(plain.condenserDifference_K, plain.condenserApproach_K, at.condenserFlow_m3_s)
        : NaN,
    evaporatorConductance_W_K: machine.alone
      ? conductance(plain.evaporatorDifference_K, plain.evaporatorApproach_K, at.waterFlow_m3_s)
      : NaN,
    isentropicEfficiency: lossless / (outlet - inlet),
    volumetricEfficiency: byWater / (swept * density),
    refrigerantFlowByWater_kg_s: byWater,
    refrigerantFlowByCompressor_kg_s: (powerToVapour * at.compressorPower_W) / (outlet - inlet),
    refrigerantFlowByValve_kg_s: valveFlow_kg_s(
      refrigerant,
      machine.valve,
      at.valveOpening_pct,
      at.liquidTemperature_K,
      discharge - suction,
    ),
  };
}
