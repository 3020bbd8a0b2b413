/**
 * Small typed records as bytes. A shape says how each field is written, and its type makes the compiler refuse a record
 * with a field that the shape leaves out. Numbers are single precision (7 digits), times double; a missing number is NaN.
 */
export class PackWriter {
  private bytes = new Uint8Array(4096);
  private view = new DataView(this.bytes.buffer);
  private length = 0;

  private room(size: number): number {
    const at = this.length;
    this.length += size;
    if (this.length > this.bytes.length) {
      const larger = new Uint8Array(Math.max(this.length, 2 * this.bytes.length));
      larger.set(this.bytes);
      this.bytes = larger;
      this.view = new DataView(larger.buffer);
    }
    return at;
  }

  byte(value: number): void {
    const at = this.room(1);
    this.view.setUint8(at, value);
  }
  count(value: number): void {
    const at = this.room(4);
    this.view.setUint32(at, value);
  }
  single(value: number): void {
    const at = this.room(4);
    this.view.setFloat32(at, value);
  }
  double(value: number): void {
    const at = this.room(8);
    this.view.setFloat64(at, value);
  }
  /** Up to 255 characters of ASCII. */
  text(value: string): void {
    this.byte(value.length);
    for (let i = 0; i < value.length; i++) this.byte(value.charCodeAt(i));
  }
  done(): Uint8Array {
    return this.bytes.slice(0, this.length);
  }
}

export class PackReader {
  private at = 0;
  private readonly view: DataView;
  /** Version of the shape by which the bytes were written. */
  version = 0;

  constructor(bytes: Uint8Array) {
    this.view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  }

  private take(size: number): number {
    const at = this.at;
    this.at += size;
    if (this.at > this.view.byteLength) throw new PackError('The packed record ends too early.');
    return at;
  }

  byte(): number {
    return this.view.getUint8(this.take(1));
  }
  count(): number {
    return this.view.getUint32(this.take(4));
  }
  single(): number {
    return this.view.getFloat32(this.take(4));
  }
  double(): number {
    return this.view.getFloat64(this.take(8));
  }
  text(): string {
    const size = this.byte();
    let text = '';
    for (let i = 0; i < size; i++) text += String.fromCharCode(this.byte());
    return text;
  }
}

/** Bytes that are no packed record of a known version. */
export class PackError extends Error {
  override name = 'PackError';
}

export interface Shape<T> {
  write: (to: PackWriter, value: T) => void;
  read: (from: PackReader) => T;
}

/** A measured or computed figure, kept to 7 digits. */
export const figure: Shape<number> = {
  write: (to, value) => to.single(value),
  read: (from) => from.single(),
};

/** Seconds since the epoch. */
export const instant: Shape<number> = {
  write: (to, value) => to.double(value),
  read: (from) => from.double(),
};

/** A whole number from 0. */
export const whole: Shape<number> = {
  write: (to, value) => to.count(value),
  read: (from) => from.count(),
};

/** A figure that may be missing. */
export const figureOrNull: Shape<number | null> = {
  write: (to, value) => to.single(value ?? NaN),
  read: (from) => numberOrNull(from.single()),
};

/** A time that may be missing. */
export const instantOrNull: Shape<number | null> = {
  write: (to, value) => to.double(value ?? NaN),
  read: (from) => numberOrNull(from.double()),
};

const numberOrNull = (value: number): number | null => (Number.isNaN(value) ? null : value);

/** One of a list of values; the list may only grow at its end. */
export function oneOf<const T>(values: readonly T[]): Shape<T> {
  return {
    write: (to, value) => {
      const index = values.indexOf(value);
      if (index < 0) throw new PackError(`${String(value)} is none of the values of its shape.`);
      to.byte(index);
    },
    read: (from) => {
      const index = from.byte();
      if (index >= values.length) throw new PackError(`Value ${index} of a list of ${values.length}.`);
      return values[index];
    },
  };
}

export function orNull<T>(shape: Shape<T>): Shape<T | null> {
  return {
    write: (to, value) => {
      to.byte(value === null ? 0 : 1);
      if (value !== null) shape.write(to, value);
    },
    read: (from) => (from.byte() === 0 ? null : shape.read(from)),
  };
}

/** Up to 255 values of one shape. */
export function listOf<T>(shape: Shape<T>): Shape<T[]> {
  return {
    write: (to, values) => {
      to.byte(values.length);
      for (const value of values) shape.write(to, value);
    },
    read: (from) => Array.from({ length: from.byte() }, () => shape.read(from)),
  };
}

/** Values by name, the names written with them. */
export function byName<T>(
  shape: Shape<T>,
  presentNames: Readonly<Record<string, string>> = {},
): Shape<Record<string, T>> {
  return {
    write: (to, values) => {
      const entries = Object.entries(values);
      to.byte(entries.length);
      for (const [name, value] of entries) {
        to.text(name);
        shape.write(to, value);
      }
    },
    read: (from) => {
      const values: Record<string, T> = {};
      for (let n = from.byte(); n > 0; n--) {
        const name = from.text();
        values[presentNames[name] ?? name] = shape.read(from);
      }
      return values;
    },
  };
}

/** A record, field after field in the order given; a field can be added by `since`. */
export function record<T extends object>(fields: { [K in keyof T]-?: Shape<T[K]> }): Shape<T> {
  const entries = Object.entries(fields) as [keyof T, Shape<T[keyof T]>][];
  return {
    write: (to, value) => {
      for (const [name, shape] of entries) shape.write(to, value[name]);
    },
    read: (from) => {
      const value = {} as T;
      for (const [name, shape] of entries) value[name] = shape.read(from);
      return value;
    },
  };
}

/** A field that records of earlier versions do not have; read from these it has the value `before`. */
export function since<T>(version: number, shape: Shape<T>, before: T): Shape<T> {
  return {
    write: shape.write,
    read: (from) => (from.version < version ? before : shape.read(from)),
  };
}

/** Packs values behind the version of their shape. */
export function pack<T>(version: number, shape: Shape<T>, values: readonly T[]): Uint8Array {
  const to = new PackWriter();
  to.byte(version);
  to.count(values.length);
  for (const value of values) shape.write(to, value);
  return to.done();
}

/** Values packed by this version of the shape or an earlier one. Throws `PackError` for anything else. */
export function unpack<T>(version: number, shape: Shape<T>, bytes: Uint8Array): T[] {
  const from = new PackReader(bytes);
  from.version = from.byte();
  if (from.version < 1 || from.version > version)
    throw new PackError(`Records of version ${from.version} where at most ${version} is known.`);
  return Array.from({ length: from.count() }, () => shape.read(from));
}
