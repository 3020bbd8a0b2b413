import { useUnits } from './site.js';
import { useZone } from './zone.js';
import { statementParts, type Statement } from '../quantities/statement-text.js';

/** A sentence with its numbers in the reader's units. */
export function Say({ statement }: { statement: Statement }) {
  const units = useUnits();
  const zone = useZone();
  return (
    <>
      {statementParts(statement, units, zone).map((part, index) =>
        part.kind === 'number' ? (
          <span key={index} className="n">
            {part.text}
          </span>
        ) : (
          bindNumbers(part.text)
        ),
      )}
    </>
  );
}

/** Keeps `circuit 2` and the like on one line. */
const bindNumbers = (text: string) => text.replace(/\b(circuit|module|valve) (?=\d)/g, '$1\u00a0');
