import type { ComparedReading, Decision, SeenOnVisit } from '../../api/decisions/decisions.js';
import { show } from '../../quantities/format-quantity.js';
import type { UnitSystem } from '../../quantities/unit-system.js';
import { dayWords } from './standing-words.js';

/** `loop-tuned-too-hard` as words; the list of causes has better ones, but a line of history needs no more. */
const causeWords = (cause: string): string => cause.replaceAll('-', ' ');

export function seenWords(seen: SeenOnVisit): string {
  if (seen.kind === 'nothing') return 'nothing wrong was found';
  return seen.kind === 'other' ? seen.words : causeWords(seen.cause);
}

/** A reading taken by hand against telemetry. */
export function readingWords(
  { circuit, quantity, difference, uncertainty, verdict }: ComparedReading,
  system: UnitSystem,
): string {
  const name = `${quantity.replace('-', ' ')} of circuit ${circuit}`;
  if (verdict === 'no-telemetry' || difference === null || uncertainty === null)
    return `${name}: no telemetry of that minute`;
  const kind = quantity.endsWith('pressure') ? 'pressure-difference' : 'temperature-difference';
  const shown = (value: number) => show(value, kind, system);
  const by = `telemetry reads ${shown(Math.abs(difference))} ${difference < 0 ? 'less' : 'more'}`;
  return verdict === 'agrees'
    ? `${name}: agrees (${by}; within ${shown(uncertainty)})`
    : `${name}: differs (${by}; more than the ${shown(uncertainty)} that sensor and instrument explain)`;
}

/** What was decided, in a sentence or a few. */
export function decisionWords({ decided }: Decision, system: UnitSystem): string {
  const because = (reason: string | null) => (reason === null ? '' : ` ${reason}`);
  switch (decided.kind) {
    case 'hand-over':
      return `Handed over, due ${dayWords(decided.due)}.${because(decided.reason)}`;
    case 'put-off':
      return `Put off ${decided.until === null ? 'until it becomes more urgent' : `until ${dayWords(decided.until)}`}. ${decided.reason}`;
    case 'accept':
      return `Accepted as known, to be looked at again on ${dayWords(decided.review)}. ${decided.reason}`;
    case 'note':
      return decided.text;
    case 'close':
      return [
        `Closed after a visit: ${seenWords(decided.seen)}. Done: ${decided.done}`,
        ...(decided.parts.length > 0 ? [`Parts: ${decided.parts.join(', ')}.`] : []),
        ...decided.readings.map((reading) => `By hand, ${readingWords(reading, system)}.`),
      ].join(' ');
  }
}
