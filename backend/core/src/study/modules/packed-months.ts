import type { AgeingMonth } from '../../backup/index.js';

/** What studies need of a module's month; NaN stands for null in the packed form. */
export type StudiedMonth = Pick<
  AgeingMonth,
  'month_s' | 'age_d' | 'weightedAge_d' | 'meanTemperature_K' | 'capacitance_F' | 'esr_Ohm'
>;

const numbers = 6;

/** Months since January 1970. */
const monthNumber = (month_s: number): number => {
  const date = new Date(month_s * 1000);
  return 12 * (date.getUTCFullYear() - 1970) + date.getUTCMonth();
};

/**
 * Months of a module as bytes, 24 for each: number of the month since January 1970, age, weighted age, temperature,
 * capacitance and ESR as numbers of four bytes (IEEE 754, big-endian, as PostgreSQL's `float4send`). Seven digits are kept.
 */
export function packMonths(months: readonly AgeingMonth[]): Uint8Array {
  const bytes = new Uint8Array(4 * numbers * months.length);
  const view = new DataView(bytes.buffer);
  months.forEach(({ month_s, age_d, weightedAge_d, meanTemperature_K, capacitance_F, esr_Ohm }, month) =>
    [monthNumber(month_s), age_d, weightedAge_d, meanTemperature_K, capacitance_F, esr_Ohm].forEach(
      (value, place) => view.setFloat32(4 * (numbers * month + place), value ?? NaN),
    ),
  );
  return bytes;
}

export function unpackMonths(bytes: Uint8Array): StudiedMonth[] {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  return Array.from({ length: bytes.byteLength / (4 * numbers) }, (_, month) => {
    const at = (place: number) => view.getFloat32(4 * (numbers * month + place));
    const known = (place: number) => (Number.isNaN(at(place)) ? null : at(place));
    return {
      month_s: Date.UTC(1970, at(0)) / 1000,
      age_d: at(1),
      weightedAge_d: known(2),
      meanTemperature_K: known(3),
      capacitance_F: at(4),
      esr_Ohm: known(5),
    };
  });
}
