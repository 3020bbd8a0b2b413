import type { ModuleEntry } from '../../telemetry/index.js';
import type { ClosingDemand } from '../closing/index.js';
import type { EsrCourse } from '../ageing/index.js';
import { reserveOf } from './reserve.js';

const paths = ['power', 'in-step'] as const;
/** Mean and 1.22 standard uncertainties to each side: three equal weights with the right spread. */
const sides = [-1.22, 0, 1.22] as const;

/** Capacitances at which the reserve is down to `limit`: one for each belief about how ESR will go on, all equally likely. */
export const capacitancesAtReserve = (
  module: ModuleEntry,
  demand: ClosingDemand,
  voltage_V: number,
  now: { capacitance_F: number; esr_Ohm: number },
  course: EsrCourse,
  limit: number,
): number[] =>
  sides.flatMap((side) => {
    const exponent = course.exponent + side * course.uncertainty;
    return paths.map((path) => capacitanceAtReserve(module, demand, voltage_V, now, exponent, path, limit));
  });

/**
 * How ESR may go on from where it is while capacitance falls: as a power of it, or in step with what is lost. Both
 * begin with the same slope; far on, the power outruns the step.
 */
type EsrPath = (typeof paths)[number];

/** Capacitance at which the reserve is down to `limit`, ESR rising along its course from where it is now. */
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
    const share = middle / now.capacitance_F;
    const rise = path === 'power' ? share ** -exponent : 1 + exponent * (1 - share);
    const esr_Ohm = now.esr_Ohm * Math.max(0.2, rise);
    if (reserveOf(module, demand, middle, esr_Ohm, voltage_V).reserve < limit) low = middle;
    else high = middle;
  }
  return high;
}
