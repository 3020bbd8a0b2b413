import type { BackupReading, Closing } from '../physics/module/module.js';

/**
 * SenML packs as text (RFC 8428), written straight away: a pack of an hour has some 3000 records, and the history
 * of the fleet some 25 million. Records go quantity by quantity, so that name and unit stand once per quantity as base
 * fields, and a record is no more than its time and value.
 */
export interface QuantityColumn {
  name: string;
  unit: string;
  /** Value as sent, from the value as held; the number of decimals that the sensor is worth. */
  scale: number;
  offset: number;
  decimals: number;
}

const column = (name: string, unit: string, decimals: number, scale = 1, offset = 0): QuantityColumn => ({
  name,
  unit,
  scale,
  offset,
  decimals,
});

export const circuitColumns: readonly QuantityColumn[] = [
  column('suction-pressure', 'Pa', 0),
  column('suction-temperature', 'Cel', 2, 1, -273.15),
  column('valve-opening', '%', 2),
  column('discharge-pressure', 'Pa', 0),
  column('discharge-temperature', 'Cel', 2, 1, -273.15),
  column('liquid-temperature', 'Cel', 2, 1, -273.15),
  column('superheat-setpoint', 'K', 1),
  column('compressor-load', '%', 1),
  column('compressor-power', 'W', 0),
];

export const secondValveColumn = column('valve-opening-2', '%', 2);

export const waterColumns: readonly QuantityColumn[] = [
  column('entering-temperature', 'Cel', 2, 1, -273.15),
  column('leaving-temperature', 'Cel', 2, 1, -273.15),
  column('flow', 'm3/s', 5),
  column('ambient-temperature', 'Cel', 2, 1, -273.15),
];

export const condenserColumns: readonly QuantityColumn[] = [
  column('entering-temperature', 'Cel', 2, 1, -273.15),
  column('leaving-temperature', 'Cel', 2, 1, -273.15),
  column('flow', 'm3/s', 5),
  column('fan-speed', '%', 1),
];

/** Rows of one subject, column by column: `values[column][row]`; NaN is not sent. */
export interface Rows {
  length: number;
  time_s: Float64Array;
  values: Float64Array[];
}

export function newRows(columns: number, capacity: number): Rows {
  return {
    length: 0,
    time_s: new Float64Array(capacity),
    values: Array.from({ length: columns }, () => new Float64Array(capacity)),
  };
}

const powers = [1, 10, 100, 1000, 1e4, 1e5];

/** One pack of all rows, or null when there is nothing to send. `skip` leaves a row out. */
export function encodeRows(
  baseName: string,
  columns: readonly QuantityColumn[],
  rows: Rows,
  skip?: (row: number) => boolean,
): string | null {
  if (rows.length === 0) return null;
  const base_s = rows.time_s[0];
  const sent: number[] = [];
  for (let row = 0; row < rows.length; row++) if (!skip?.(row)) sent.push(row);
  let text = '[';
  let first = true;
  columns.forEach((quantity, index) => {
    const values = rows.values[index];
    const power = powers[quantity.decimals];
    let opened = false;
    for (const row of sent) {
      const value = values[row];
      if (value !== value) continue;
      const shown = Math.round((value * quantity.scale + quantity.offset) * power) / power;
      const ahead = rows.time_s[row] - base_s;
      if (opened) {
        text += ',{"v":' + shown + ',"t":' + ahead + '}';
        continue;
      }
      opened = true;
      text +=
        (first ? '' : ',') +
        `{"bn":"${baseName}/${quantity.name}","bu":"${quantity.unit}"` +
        (first ? `,"bt":${base_s}` : '') +
        `,"v":${shown},"t":${ahead}}`;
      first = false;
    }
  });
  return first ? null : text + ']';
}

/** A module's own readings; switches are true or false. */
export function encodeBackup(
  baseName: string,
  readings: readonly { time_s: number; reading: BackupReading }[],
): string | null {
  if (readings.length === 0) return null;
  const base_s = readings[0].time_s;
  const parts: string[] = [];
  const quantity = (name: string, unit: string, value: (reading: BackupReading) => string) => {
    readings.forEach(({ time_s, reading }, i) => {
      const open = i === 0 ? `"bn":"${baseName}/${name}","bu":"${unit}",` : '';
      const base = parts.length === 0 ? `"bt":${base_s},` : '';
      parts.push(`{${open}${base}${value(reading)},"t":${time_s - base_s}}`);
    });
  };
  quantity('voltage', 'V', (reading) => `"v":${round(reading.voltage_V, 3)}`);
  quantity('current', 'A', (reading) => `"v":${round(reading.current_A, 4)}`);
  quantity('temperature', 'Cel', (reading) => `"v":${round(reading.temperature_K - 273.15, 1)}`);
  quantity('mains', '/', (reading) => `"vb":${reading.mains === 1}`);
  quantity('health', '/', (reading) => `"vb":${reading.health === 1}`);
  return `[${parts.join(',')}]`;
}

export function encodeClosing(baseName: string, closing: Closing): string {
  const parts: string[] = [];
  const quantity = (name: string, unit: string, values: Float64Array) => {
    values.forEach((value, i) => {
      const open = i === 0 ? `"bn":"${baseName}/${name}","bu":"${unit}",` : '';
      const base = parts.length === 0 ? `"bt":${closing.started_s},` : '';
      parts.push(`{${open}${base}"v":${value},"t":${closing.time_s[i]}}`);
    });
  };
  quantity('voltage', 'V', closing.voltage_V);
  quantity('current', 'A', closing.current_A);
  quantity('valve-opening', '%', closing.valveOpening_pct);
  return `[${parts.join(',')}]`;
}

export const encodePresence = (baseName: string, online: boolean, time_s: number | null): string =>
  `[{"bn":"${baseName}/online","vb":${online}${time_s === null ? '' : `,"t":${time_s}`}}]`;

const round = (value: number, decimals: number): number =>
  Math.round(value * powers[decimals]) / powers[decimals];
