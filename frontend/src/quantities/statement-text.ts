import { formatQuantity, type Quantity } from './format-quantity.js';
import type { Zone } from './site-time.js';
import type { UnitSystem } from './unit-system.js';

export interface Statement {
  text: string;
  quantities: Record<string, Quantity>;
}

export type StatementPart = { kind: 'words'; text: string } | { kind: 'number'; text: string; name: string };

/** Splits a sentence at its `{name}` places and fills each in with value and unit of the reader's system. */
export function statementParts(
  statement: Statement,
  system: UnitSystem,
  zone: Zone = null,
  now?: Date,
): StatementPart[] {
  return statement.text.split(/(\{[a-zA-Z0-9]+\})/).flatMap((piece): StatementPart[] => {
    if (piece === '') return [];
    const name = /^\{([a-zA-Z0-9]+)\}$/.exec(piece)?.[1];
    if (name === undefined) return [{ kind: 'words', text: piece }];
    const quantity = statement.quantities[name];
    // A place without its number is shown as such rather than left out, so that no sentence silently changes its sense.
    if (!quantity) return [{ kind: 'words', text: '(not known)' }];
    return [{ kind: 'number', name, text: formatQuantity(quantity, system, zone, now) }];
  });
}

/** The whole sentence as text. */
export function statementText(
  statement: Statement,
  system: UnitSystem,
  zone: Zone = null,
  now?: Date,
): string {
  return statementParts(statement, system, zone, now)
    .map((part) => part.text)
    .join('');
}
