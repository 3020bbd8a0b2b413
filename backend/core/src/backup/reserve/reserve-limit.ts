import type { ModuleEntry } from '../../telemetry/index.js';
import type { ClosingDemand } from '../closing/index.js';
import type { EsrExponent } from '../ageing/index.js';
import { reserveOf } from './reserve.js';

const paths = ['power-law', 'linear'] as const;
/** Mean and 1.22 standard uncertainties to each side: three equal weights with the right spread. */
const sides = [-1.22, 0, 1.22] as const;

/** Capacitances at which the reserve is down to `limit`: one for each assumption about how ESR will rise, all equally likely. */
export const capacitancesAtReserve = (
  module: ModuleEntry,
  demand: ClosingDemand,
  voltage_V: number,
  now: { capacitance_F: number; esr_Ohm: number },
  esr: EsrExponent,
  limit: number,
): number[] =>
  sides.flatMap((side) => {
    const exponent = esr.exponent + side * esr.uncertainty;
    return paths.map((path) => capacitanceAtReserve(module, demand, voltage_V, now, exponent, path, limit));
  });

/**
 * How ESR may rise while capacitance falls: as a power of capacitance, or linearly with the capacitance lost. Both
 * begin with the same slope; later the power law rises faster.
 */
type EsrPath = (typeof paths)[number];

/** Capacitance at which the reserve is down to `limit`, with ESR rising from its present value. */
function capacitanceAtReserve(
  module: ModuleEntry,
  demand: ClosingDemand,
  voltage_V: number,
  now: { capacitance_F: number; esr_Ohm: number },
  exponent: number,
  path: EsrPath,
  limit: number,
): number {
  let low = 0.01 * now.capacitance_F;
  let high = 4 * now.capacitance_F;
  // 17 halvings of a span of 400 to 1 leave 0.005 %.
  for (let i = 0; i < 17; i++) {
    const middle = Math.sqrt(low * high);
    const left = middle / now.capacitance_F;
    const rise = path === 'power-law' ? left ** -exponent : 1 + exponent * (1 - left);
    const esr_Ohm = now.esr_Ohm * Math.max(0.2, rise);
    if (reserveOf(module, demand, middle, esr_Ohm, voltage_V).reserve < limit) low = middle;
    else high = middle;
  }
  return high;
}
