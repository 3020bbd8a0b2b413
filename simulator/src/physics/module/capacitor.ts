/**
 * A supercapacitor with series resistance, and what is left of it with age.
 */
export interface Capacitor {
  capacitance_F: number;
  esr_Ohm: number;
}

/** How a capacitor ages: end of life is 80 % of the capacitance and twice the resistance. */
export interface Ageing {
  /** Time to end of life at `reference_K`. */
  life_s: number;
  reference_K: number;
  /** Capacitance falls by the same amount in each share of life (the default), or by the same share of what is left. */
  fade?: 'straight' | 'by-share';
}

/** Rate of ageing at a temperature against the reference. Common practice, no source: life doubles per 10 K lower. */
export const ageingRate = (ageing: Ageing, temperature_K: number): number =>
  Math.pow(2, (temperature_K - ageing.reference_K) / 10) / ageing.life_s;

/** Values at 25 C after a share of life is used (1: end of life, and on beyond it). */
export function agedCapacitor(
  fresh: Capacitor,
  usedLife: number,
  fade: Ageing['fade'] = 'straight',
): Capacitor {
  const left = fade === 'straight' ? Math.max(0.05, 1 - 0.2 * usedLife) : 0.8 ** usedLife;
  return {
    capacitance_F: fresh.capacitance_F * left,
    esr_Ohm: fresh.esr_Ohm * (1 + usedLife),
  };
}

/** Values at another temperature. Common practice, no source: ESR falls and C rises a little with temperature. */
export function atTemperature(at25C: Capacitor, temperature_K: number): Capacitor {
  const above_K = temperature_K - 298.15;
  return {
    capacitance_F: at25C.capacitance_F * (1 + 0.0008 * above_K),
    esr_Ohm: at25C.esr_Ohm * Math.exp(-0.008 * above_K),
  };
}

/** Current that delivers a power at the terminals, A; `NaN` where the source cannot. */
export function currentForPower(inner_V: number, esr_Ohm: number, power_W: number): number {
  const root = inner_V * inner_V - 4 * power_W * esr_Ohm;
  return root < 0 ? NaN : (2 * power_W) / (inner_V + Math.sqrt(root));
}

/** One step of the discharge with a load of constant power or current (midpoint rule); the inner voltage after it. */
export function discharge(
  inner_V: number,
  cell: Capacitor,
  load: { power_W?: number; current_A?: number },
  dt_s: number,
): number {
  const current = (voltage: number) =>
    load.current_A ?? currentForPower(voltage, cell.esr_Ohm, load.power_W ?? 0);
  const half = inner_V - (current(inner_V) * dt_s) / (2 * cell.capacitance_F);
  return inner_V - (current(half) * dt_s) / cell.capacitance_F;
}

/**
 * Energy that the terminals can deliver at constant power from a voltage down to a least terminal voltage, J.
 * Closed form of the reference table: with V0, Vf the terminal voltages at start and end,
 * t = C/(2P)(V0^2 - Vf^2) - R C ln(V0/Vf), E = P t.
 */
export function deliverable_J(cell: Capacitor, inner_V: number, least_V: number, power_W: number): number {
  const root = inner_V * inner_V - 4 * power_W * cell.esr_Ohm;
  if (root < 0) return 0;
  const first = (inner_V + Math.sqrt(root)) / 2;
  const last = Math.max(least_V, Math.sqrt(power_W * cell.esr_Ohm));
  if (first <= last) return 0;
  const { capacitance_F: c, esr_Ohm: r } = cell;
  return power_W * ((c / (2 * power_W)) * (first * first - last * last) - r * c * Math.log(first / last));
}
