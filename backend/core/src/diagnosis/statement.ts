/**
 * A sentence with its numbers kept apart, so that one sentence serves both unit systems and the number can be
 * checked: `{ text: 'Superheat swings by {amplitude} every {period}.', quantities: { amplitude: ..., period: ... } }`.
 * Every `{name}` in the text has an entry; a reader fills it in with value and unit.
 */
export interface Statement {
  text: string;
  quantities: Record<string, Quantity>;
}

export type QuantityKind =
  | 'temperature' // K
  | 'temperature-difference' // K
  | 'pressure' // Pa
  | 'pressure-difference' // Pa
  | 'duration' // s
  | 'instant' // s since the epoch
  | 'share' // 0..1
  | 'percent-opening' // %
  | 'energy' // J
  | 'power' // W
  | 'mass' // kg
  | 'voltage' // V
  | 'capacitance' // F
  | 'resistance' // Ohm
  | 'current' // A
  | 'flow-coefficient' // Kv: m3/h of water at 1 bar (IEC 60534)
  | 'ratio' // -
  | 'count' // -
  | 'rate-per-day'; // 1/d

/** SI value of the kind; `uncertainty` is one standard uncertainty in the same unit. */
export interface Quantity {
  value: number;
  kind: QuantityKind;
  uncertainty?: number;
}

export class StatementError extends Error {
  override name = 'StatementError';
}

/** Builds a statement and refuses one whose placeholders and quantities do not match, or whose number is not finite. */
export function statement(text: string, quantities: Record<string, Quantity> = {}): Statement {
  const named = new Set([...text.matchAll(/\{([a-zA-Z0-9]+)\}/g)].map((match) => match[1]));
  for (const name of named) {
    if (!(name in quantities)) throw new StatementError(`quantity "${name}" is missing in "${text}"`);
  }
  for (const [name, quantity] of Object.entries(quantities)) {
    if (!named.has(name)) throw new StatementError(`quantity "${name}" is not used in "${text}"`);
    if (!Number.isFinite(quantity.value))
      throw new StatementError(`quantity "${name}" is not finite in "${text}"`);
  }
  return { text, quantities };
}

/**
 * The value rounded to so many significant figures, for counts, rates and periods that are not known more precisely.
 * @example rounded(10459) // 10500
 */
export function rounded(value: number, figures = 3): number {
  if (!(Math.abs(value) > 0) || !Number.isFinite(value)) return value;
  return Number(value.toPrecision(figures));
}

export const quantity = (kind: QuantityKind, value: number, uncertainty?: number): Quantity =>
  uncertainty === undefined ? { kind, value } : { kind, value, uncertainty };
