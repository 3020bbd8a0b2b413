/** A value with its standard uncertainty, in the same unit. */
export interface Estimate {
  value: number;
  uncertainty: number;
}

/**
 * A function of several independent estimates with its standard uncertainty, by the change that one standard
 * uncertainty of each makes (JCGM 100:2008, 5.1.2 and 5.1.3, note 2). Null where it has no value.
 */
export function propagated(inputs: readonly Estimate[], of: (values: number[]) => number): Estimate | null {
  const at = inputs.map(({ value }) => value);
  const value = of(at);
  if (!Number.isFinite(value)) return null;
  let variance = 0;
  inputs.forEach(({ uncertainty }, k) => {
    if (!(uncertainty > 0)) return;
    const step = (sign: number) => of(at.map((each, i) => (i === k ? each + sign * uncertainty : each)));
    const [up, down] = [step(1), step(-1)];
    const change = Number.isFinite(up) && Number.isFinite(down) ? (up - down) / 2 : Math.abs(value);
    variance += change * change;
  });
  return { value, uncertainty: Math.sqrt(variance) };
}

/** Whether an estimate is surely above zero: by more than two standard uncertainties. */
export const isSurelyPositive = ({ value, uncertainty }: Estimate): boolean => value > 2 * uncertainty;

/** Whether it is surely below zero likewise. */
export const isSurelyNegative = ({ value, uncertainty }: Estimate): boolean => value < -2 * uncertainty;
