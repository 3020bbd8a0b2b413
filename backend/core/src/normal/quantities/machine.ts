import { canonicalRefrigerantName, saturationCurve, type SaturationCurve } from '../../refrigerants/index.js';
import type { CircuitEntry, EvaporatorType } from '../../telemetry/registry.js';

/** What the comparison needs to know of a circuit. */
export interface Machine {
  refrigerant: string;
  evaporator: EvaporatorType;
  condenser: 'air' | 'water';
  /** The unit's water belongs to this circuit alone: heat from the water side is its own. */
  alone: boolean;
  valve: { kv_m3_h: number; motors: number };
  /** Volume swept at full load, m3/s; null where not known. */
  displacement_m3_s: number | null;
  dew: SaturationCurve;
  bubble: SaturationCurve;
}

/** @throws UnknownRefrigerantError. */
export function machineOf(given: {
  refrigerant: string;
  evaporator?: EvaporatorType | undefined;
  condenser?: 'air' | 'water' | undefined;
  circuits?: number | undefined;
  circuit?: CircuitEntry | undefined;
}): Machine {
  const refrigerant = canonicalRefrigerantName(given.refrigerant);
  return {
    refrigerant,
    evaporator: given.evaporator ?? 'dry-expansion',
    condenser: given.condenser ?? 'water',
    alone: (given.circuits ?? 1) === 1,
    valve: given.circuit?.valve ?? { kv_m3_h: 0, motors: 1 },
    displacement_m3_s: given.circuit?.compressor?.displacement_m3_s ?? null,
    dew: saturationCurve(refrigerant, 'dew'),
    bubble: saturationCurve(refrigerant, 'bubble'),
  };
}
