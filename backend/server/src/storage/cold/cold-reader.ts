import { flagsOf, type TelemetryTable } from '../schema/telemetry-tables.js';
import { namesOf, type ColdPart } from './cold-manifest.js';
import type { ColdPlace } from './cold-place.js';
import { literal, numbersOf, type Duck } from './duck.js';
import { mergeSamples, type Samples } from './merge-samples.js';
import { readFileOf } from './read-file.js';

/** Reads what was moved. Which parts there are is asked in the statement that reads PostgreSQL (`partsSql`). */
export class ColdReader {
  constructor(private readonly parts: { place: ColdPlace; duck: Duck }) {}

  /**
   * Samples of one owner from `from_s` (in) to `to_s` (out), flags as 0 and 1.
   *
   * @param found parts that meet the span
   */
  async samples(
    table: TelemetryTable,
    found: readonly ColdPart[],
    columns: readonly string[],
    span: { from_s: number; to_s: number },
  ): Promise<Samples> {
    let all: Samples = { time_s: new Float64Array(0), columns: columns.map(() => new Float64Array(0)) };
    for (const part of found) all = mergeSamples(all, await this.ofPart(table, part, columns, span));
    return all;
  }

  private ofPart(
    table: TelemetryTable,
    part: ColdPart,
    columns: readonly string[],
    { from_s, to_s }: { from_s: number; to_s: number },
  ): Promise<Samples> {
    const flags = flagsOf(table);
    const values = columns.map((name) => (flags.has(name) ? `${name}::integer` : name));
    const [from_us, to_us] = [from_s, to_s].map((time_s) => Math.round(time_s * 1e6));
    return readFileOf(
      this.parts.place,
      namesOf(part),
      (path) =>
        this.parts.duck.connected(async (connection) => {
          const { columns: read } = await numbersOf(
            connection,
            `select ${['epoch_us(time)::double', ...values].join(', ')} from read_parquet(${literal(path!)})
              where ${table.owner} = ${part.ownerId} and time >= make_timestamp(${from_us})::timestamptz
                and time < make_timestamp(${to_us})::timestamptz`,
            values.length + 1,
          );
          return { time_s: read[0].map((time_us) => time_us / 1e6), columns: read.slice(1) };
        }),
      part.id,
    );
  }
}
