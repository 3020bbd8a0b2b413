import {
  cvPerKv,
  kilogramPerPound,
  metrePerFoot,
  pascalPerPsi,
  scaleOf,
  wattPerTon,
  type Measures,
} from '../../../quantities/unit-system.js';

/** What a typed number is; `plain` has the unit that the trade has everywhere. */
export type FieldKind =
  'pressure' | 'temperature-difference' | 'capacity' | 'mass' | 'height' | 'flow-coefficient' | 'plain';

interface TypedUnit {
  unit: string;
  /** SI value of one of it; of a flow coefficient Kv, m3/h. */
  si: number;
}

const typed: Record<Exclude<FieldKind, 'plain'>, Record<Measures, TypedUnit>> = {
  pressure: { si: { unit: 'bar', si: 1e5 }, 'inch-pound': { unit: 'psi', si: pascalPerPsi } },
  'temperature-difference': { si: { unit: 'K', si: 1 }, 'inch-pound': { unit: '°F', si: 1 / 1.8 } },
  capacity: { si: { unit: 'kW', si: 1000 }, 'inch-pound': { unit: 'tons', si: wattPerTon } },
  mass: { si: { unit: 'kg', si: 1 }, 'inch-pound': { unit: 'lb', si: kilogramPerPound } },
  'flow-coefficient': {
    si: { unit: scaleOf('flow-coefficient', 'si').unit, si: 1 },
    'inch-pound': { unit: scaleOf('flow-coefficient', 'inch-pound').unit, si: 1 / cvPerKv },
  },
  height: { si: { unit: 'm', si: 1 }, 'inch-pound': { unit: 'ft', si: metrePerFoot } },
};

export const unitOf = (kind: FieldKind, measures: Measures): string =>
  kind === 'plain' ? '' : typed[kind][measures].unit;

/** As it stands in a field: six figures, without zeros at the end; nothing where it is not known. */
export function textOf(value: number | null, kind: FieldKind, measures: Measures): string {
  if (value === null) return '';
  return String(Number((value / (kind === 'plain' ? 1 : typed[kind][measures].si)).toPrecision(6)));
}

/** What is typed in SI; null: nothing is typed; NaN: no number. A decimal comma is one. */
export function siOf(text: string, kind: FieldKind, measures: Measures): number | null {
  const trimmed = text.trim();
  if (trimmed === '') return null;
  const value = Number(trimmed.replace(',', '.'));
  return value * (kind === 'plain' ? 1 : typed[kind][measures].si);
}

/** What is typed in SI; a number that was not touched keeps its exact value of before. */
export const numberOf = (
  text: string,
  kind: FieldKind,
  measures: Measures,
  before: number | null,
): number | null => (text === textOf(before, kind, measures) ? before : siOf(text, kind, measures));

/** What is typed; null: nothing. */
export const wordsOf = (text: string): string | null => (text.trim() === '' ? null : text.trim());
