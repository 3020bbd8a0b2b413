import type { Machine } from '../../../normal/quantities/machine.js';
import type { ChannelValues } from '../../../normal/quantities/quantities.js';
import type { CausePattern } from './cause-pattern.js';
import { chargePatterns } from './charge-patterns.js';
import { compressorAndValvePatterns } from './compressor-and-valve-patterns.js';
import { condenserPatterns, evaporatorPatterns } from './exchanger-patterns.js';
import { stateAt } from './pattern-state.js';

/**
 * How far each fault moves what is measured, from the balance of the circuit at the state `at`, for the severity that is
 * one unit at the state `reference`:
 *
 * - an exchanger's approach by effectiveness-NTU, its water's change by the heat balance;
 * - power at the same cooling in proportion to the lift between evaporating and condensing temperature, d ln P = dT/lift;
 * - the discharge temperature along the present ratio of its rise to the lift;
 * - a valve that holds the flow opens less as its pressure difference grows, with the square root (IEC 60534).
 *
 * How the effect goes with the load is part of the pattern: fouling with the heat, gas not at all, a restriction with the
 * square of the flow, lost steps and a compressor's leakage not at all, liquid that stands in a condenser with the room
 * that is left down to the entering water.
 *
 * Published fault tables (Rossi & Braun 1997, HVAC&R Research 3:19; Breuker & Braun 1998, HVAC&R Research 4:303; both of
 * fixed-orifice air units at free capacity, from memory) agree in what is left when cooling and leaving water are the
 * same. They are here, because load and leaving water are predictors of the learned normal: a capacity that falls moves
 * the operating point along with what is measured, and shows as no departure. Three kinds of entries go with that.
 * Te + and Tc - of a leaking compressor valve, and Te - of little evaporator air, are the lower capacity and the colder
 * leaving air of those tests: at the same leaving water Te follows effectiveness-NTU alone, within a tenth of the
 * approach. dT of the condenser - of missing refrigerant and of restriction is that capacity too: at the same cooling, heat
 * rejected changes by the power alone. SH and Tdis of missing refrigerant or a restriction are the opening where a valve
 * holds superheat. Tdis of a leaking compressor valve is - in those tables with the lower pressure ratio; at the same pressures
 * the vapour that is compressed twice leaves warmer (doubt 60 %).
 *
 * Doubts and priors are judgement (no source).
 *
 * @param fansPerKelvin by how many per cent the fans follow a kelvin of condensing while they are held back; null: not known
 */
export function physicalPatterns(
  machine: Machine,
  at: ChannelValues,
  reference: ChannelValues = at,
  fansPerKelvin: number | null = null,
): CausePattern[] {
  const state = stateAt(machine, at, reference, fansPerKelvin);
  return [
    ...condenserPatterns(state),
    ...evaporatorPatterns(state),
    ...chargePatterns(state),
    ...compressorAndValvePatterns(state),
  ];
}
