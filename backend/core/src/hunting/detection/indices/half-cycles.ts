/** The stretch between two crossings of zero. */
export interface HalfCycle {
  from_s: number;
  length_s: number;
  /** Area under it, signed, value times s. */
  area: number;
}

/** Cuts a centred, evenly spaced trace at its zero crossings (found on straight lines); a hole (NaN) ends a half-cycle uncounted. */
export function halfCycles(value: Float64Array, step_s: number): HalfCycle[] {
  const found: HalfCycle[] = [];
  let open = NaN;
  let area = 0;
  for (let i = 1; i < value.length; i++) {
    const a = value[i - 1];
    const b = value[i];
    if (!Number.isFinite(a) || !Number.isFinite(b)) {
      open = NaN;
      continue;
    }
    if ((a > 0 && b <= 0) || (a < 0 && b >= 0)) {
      const part = a / (a - b);
      if (Number.isFinite(open)) {
        area += 0.5 * a * part * step_s;
        found.push({ from_s: open, length_s: (i - 1 + part) * step_s - open, area });
      }
      open = (i - 1 + part) * step_s;
      area = 0.5 * b * (1 - part) * step_s;
    } else area += 0.5 * (a + b) * step_s;
  }
  return found;
}
