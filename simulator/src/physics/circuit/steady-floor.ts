import type { CircuitDesign } from './design.js';

/**
 * The lowest superheat that a circuit of a design holds steadily at a load, K: where the wetting limit begins to
 * make the superheat restless. The factor was found by sweeping the setpoint of the closed loop: at this
 * superheat its spread passes twice the spread that it has 3 K higher.
 */
export const steadyFloor_K = (design: CircuitDesign, load: number): number =>
  floorOverWetting * (design.wettingBase_K + design.wettingByLoad_K * load);

const floorOverWetting = 2.15;
