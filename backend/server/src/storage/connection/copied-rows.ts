/** Signature, flags and length of the extension of COPY's binary form (PostgreSQL manual, COPY, Binary Format). */
const header = { length: 19, extensionAt: 15 };

/**
 * Rows of `copy … to stdout (format binary)` as they come: of each its fields, as the database has them. Fields lie in memory
 * that the next row takes, so that of an answer of any length one row is held at a time. A field that is null is empty.
 */
export async function* copiedRows(
  chunks: AsyncIterable<Uint8Array>,
  fields: number,
): AsyncGenerator<Uint8Array[]> {
  let held = new Uint8Array(1 << 16);
  let [from, to] = [0, 0];
  let begun = false;
  for await (const chunk of chunks) {
    if (to + chunk.length > held.length) {
      const rest = held.subarray(from, to);
      if (rest.length + chunk.length > held.length / 2)
        held = new Uint8Array(2 * (rest.length + chunk.length));
      held.set(rest);
      [from, to] = [0, rest.length];
    }
    held.set(chunk, to);
    to += chunk.length;
    const view = new DataView(held.buffer);
    if (!begun) {
      if (to - from < header.length) continue;
      from += header.length + view.getInt32(from + header.extensionAt);
      begun = true;
    }
    for (;;) {
      const row = rowAt(view, from, to, fields);
      if (row === null) break;
      yield row.fields;
      from = row.end;
    }
  }
}

/** The row that begins at a place; null: it is not whole yet, or the rows end here. */
function rowAt(view: DataView, from: number, to: number, fields: number) {
  // -1 in place of a row's number of fields ends the rows.
  if (to - from < 2 || view.getInt16(from) < 0) return null;
  const found: Uint8Array[] = [];
  let at = from + 2;
  for (let field = 0; field < fields; field++) {
    if (to - at < 4) return null;
    const length = Math.max(0, view.getInt32(at));
    at += 4 + length;
    if (at > to) return null;
    found.push(new Uint8Array(view.buffer, at - length, length));
  }
  return { fields: found, end: at };
}
