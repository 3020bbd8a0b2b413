import type { Writable } from 'node:stream';
import type { Batch, Column, Values } from '../column.js';
import { drained } from './parquet-file.js';

/** Bytes that are put together before they are handed on. */
const piece = 128 * 1024;

/** Writes the cell of a row. */
type CellWriter = (row: number, text: ByteText) => void;

/**
 * Writes batches as CSV (RFC 4180), names in the first line; waits whenever the stream is full. Times are ISO 8601 in UTC,
 * missing values empty, reals to the 7 digits that they have.
 */
export async function writeCsv(
  to: Writable,
  columns: readonly Column[],
  batches: AsyncIterable<Batch>,
): Promise<number> {
  const text = new ByteText();
  text.words(`${columns.map(({ name }) => name).join(',')}\r\n`);
  let rows = 0;
  for await (const batch of batches) {
    const cells = batch.columns.map((values, at) => cellWriter(columns[at], values));
    for (let row = 0; row < batch.rows; row++) {
      for (let column = 0; column < cells.length; column++) {
        if (column > 0) text.byte(comma);
        cells[column](row, text);
      }
      text.byte(carriageReturn);
      text.byte(lineFeed);
      if (text.length >= piece && !to.write(text.taken())) await drained(to);
    }
    rows += batch.rows;
  }
  if (!to.write(text.taken())) await drained(to);
  return rows;
}

function cellWriter({ type }: Column, values: Values): CellWriter {
  if ('constant' in values) {
    const cell = quoted(values.constant);
    return (_row, text) => text.words(cell);
  }
  if ('reals' in values) {
    const { reals } = values;
    return (row, text) => text.real(reals[row]);
  }
  if ('times_s' in values) return timeWriter(values.times_s);
  return (row, text) => {
    const value = values.values[row];
    if (value === null) return;
    if (type === 'time') text.words(isoText(value as number));
    else if (type === 'real') text.real(value as number);
    else text.words(quoted(value));
  };
}

/** RFC 4180, 2.6 and 2.7. */
const quoted = (value: string | number | boolean): string =>
  typeof value === 'string' && /[",\r\n]/.test(value) ? `"${value.replaceAll('"', '""')}"` : String(value);

const isoText = (time_s: number): string =>
  new Date(Math.round(time_s * 1000)).toISOString().replace('.000Z', 'Z');

const day_s = 86_400;

/** Times that rise: the date is written out once and taken again while the day lasts. */
function timeWriter(times_s: Float64Array): CellWriter {
  let day = NaN;
  let date = '';
  return (row, text) => {
    const time_s = times_s[row];
    const within = Math.floor(time_s / day_s);
    if (within !== day) {
      day = within;
      date = isoText(day * day_s).slice(0, 11);
    }
    const second = time_s - day * day_s;
    const whole = Math.floor(second);
    if (second !== whole) return text.words(isoText(time_s));
    text.words(date);
    text.two(Math.floor(whole / 3600));
    text.byte(colon);
    text.two(Math.floor(whole / 60) % 60);
    text.byte(colon);
    text.two(whole % 60);
    text.byte(zulu);
  };
}

const [comma, minus, point, zero, colon, zulu] = [...Buffer.from(',-.0:Z')];
const [carriageReturn, lineFeed] = [...Buffer.from('\r\n')];

/** Text that is put together as bytes: strings of millions of cells would be most of the work. */
class ByteText {
  length = 0;
  private bytes = Buffer.allocUnsafe(2 * piece);

  byte(code: number): void {
    if (this.length + 1 > this.bytes.length) this.grow(1);
    this.bytes[this.length++] = code;
  }

  words(words: string): void {
    // Three bytes of UTF-8 for each unit of UTF-16 at most.
    if (this.length + 3 * words.length > this.bytes.length) this.grow(3 * words.length);
    if (words.length < 24) {
      const before = this.length;
      for (let at = 0; at < words.length; at++) {
        const code = words.charCodeAt(at);
        if (code > 127) {
          this.length = before + this.bytes.write(words, before);
          return;
        }
        this.bytes[this.length++] = code;
      }
    } else this.length += this.bytes.write(words, this.length);
  }

  /** Two digits. */
  two(number: number): void {
    this.byte(zero + Math.floor(number / 10));
    this.byte(zero + (number % 10));
  }

  /** The shortest decimal that is this number to 7 digits; nothing for NaN. */
  real(value: number): void {
    if (Number.isNaN(value)) return;
    const size = Math.abs(value);
    if (size < 1 || size >= 1e6) return this.words(String(Number(value.toPrecision(7))));
    const decimals = size < 10 ? 6 : size < 100 ? 5 : size < 1e3 ? 4 : size < 1e4 ? 3 : size < 1e5 ? 2 : 1;
    const scale = powers[decimals];
    const scaled = Math.round(size * scale);
    if (value < 0) this.byte(minus);
    const whole = Math.floor(scaled / scale);
    this.digits(whole, 1);
    let fraction = scaled - whole * scale;
    if (fraction === 0) return;
    let places = decimals;
    for (; fraction % 10 === 0; places--) fraction /= 10;
    this.byte(point);
    this.digits(fraction, places);
  }

  taken(): Buffer {
    const taken = this.bytes.subarray(0, this.length);
    this.bytes = Buffer.allocUnsafe(2 * piece);
    this.length = 0;
    return taken;
  }

  /** A whole number with at least so many digits. */
  private digits(number: number, least: number): void {
    let count = 1;
    while (count < 8 && number >= powers[count]) count++;
    if (count < least) count = least;
    if (this.length + count > this.bytes.length) this.grow(count);
    for (let at = this.length + count - 1, rest = number; at >= this.length; at--) {
      const higher = Math.floor(rest / 10);
      this.bytes[at] = zero + (rest - 10 * higher);
      rest = higher;
    }
    this.length += count;
  }

  private grow(by: number): void {
    const bytes = Buffer.allocUnsafe(2 * this.bytes.length + by);
    this.bytes.copy(bytes, 0, 0, this.length);
    this.bytes = bytes;
  }
}

const powers = [1, 10, 100, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8];
