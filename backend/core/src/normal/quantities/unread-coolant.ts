import type { ChannelMoves } from './day-to-day.js';
import type { Machine } from './machine.js';
import { evaporating_K, pascalPerKelvin, type ChannelValues } from './quantities.js';

/** Of what a kelvin moves, this is left unsure where normal running has shown how the machine goes with condensing. Judgement, no source. */
const leftOfLearned = 1 / 3;

/** How much less a compressor cools at the same step for each kelvin of condensing (common practice, no source). */
const coolsLess = 0.015;

/**
 * What a condenser's coolant may have done that no reading tells, each one by itself and by one standard deviation. Condensing that lies
 * so much warmer or colder than it was at the same load may be the weather's, the tower's or a fault's. How much else goes with it is known by
 * these per kelvin (judgement, no source), from how the ideal cycle goes with its lift:
 *
 * - the liquid keeps its distance from condensing within 0.1 K: charging by subcooling takes one value at all outdoor temperatures;
 * - the discharge warms by 0.8 to 2 K, its superheat by up to as much less one;
 * - a valve that passes the same flow closes with the root of its pressure difference, by 2 %;
 * - a compressor takes 3 % more power for the same cooling, over a lift of some 35 K;
 * - it cools 1.5 % less at the same step: so much less is the water's change, or the flow of a pump that follows the load, and an
 *   evaporator's approach of 3 K falls by 0.05 K.
 *
 * All of it where condensing did not vary while normal was learned, a third of it where it did and lies farther out.
 *
 * @param off_K condensing that the operating point does not explain; 0 within what was seen
 */
export function unreadCoolant(
  machine: Machine,
  at: ChannelValues,
  off_K: number,
  learned: boolean,
): ChannelMoves[] {
  const by = learned ? leftOfLearned * off_K : off_K;
  const change_K = at.enteringWaterTemperature_K - at.leavingWaterTemperature_K;
  const evaporating = pascalPerKelvin((p) => evaporating_K(machine, p), at.suctionPressure_Pa);
  return [
    { liquidTemperature_K: 0.1 * by },
    { dischargeTemperature_K: 0.4 * by },
    { valveOpening_pct: 0.02 * by * at.valveOpening_pct },
    { compressorPower_W: 0.03 * by * at.compressorPower_W },
    { suctionPressure_Pa: 0.05 * by * evaporating, suctionTemperature_K: 0.05 * by },
    { enteringWaterTemperature_K: coolsLess * by * change_K },
    { waterFlow_m3_s: coolsLess * by * at.waterFlow_m3_s },
  ];
}
