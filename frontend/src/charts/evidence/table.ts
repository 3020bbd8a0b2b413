import type { Picture } from './picture.js';

export interface Table {
  columns: string[];
  rows: (string | number | null)[][];
}

const withUnit = (name: string, unit: string) => (unit === '' ? name : `${name}, ${unit}`);
/** To six digits: more than a sensor or a picture can tell, without the last digits of a conversion. */
export const rounded = (value: number | null) => (value === null ? null : Number(value.toPrecision(6)));

/** `2026-11-27 22:02:10`: the clock of the site, as the picture shows it. */
export const clockText = (clock_ms: number) =>
  new Date(clock_ms).toISOString().slice(0, 19).replace('T', ' ');

/** What is drawn, row by row of x: every mark of every panel is a column. */
export function tableOf({ x, panels }: Picture): Table {
  const marks = panels.flatMap(({ marks: own, unit }) => own.map((mark) => ({ mark, unit })));
  // Several dots may share an x, so each mark of dots brings rows of its own.
  const rows = new Map<string, { at: number; values: (number | null)[] }>();
  marks.forEach(({ mark }, column) => {
    const seen = new Map<number, number>();
    mark.x.forEach((at, index) => {
      const times = seen.get(at) ?? 0;
      seen.set(at, times + 1);
      const key = `${at} ${times}`;
      const row = rows.get(key) ?? { at, values: marks.map(() => null) };
      row.values[column] = rounded(mark.y[index]);
      rows.set(key, row);
    });
  });
  return {
    columns: [withUnit(x.title, x.unit), ...marks.map(({ mark, unit }) => withUnit(mark.name, unit))],
    rows: [...rows.values()]
      .sort((a, b) => a.at - b.at)
      .map(({ at, values }) => [x.kind === 'time' ? clockText(at) : rounded(at), ...values]),
  };
}

const quoted = (cell: string | number | null) => {
  const text = cell === null ? '' : String(cell);
  return /[",\r\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text;
};

/** The table as CSV after RFC 4180. */
export const csvOf = ({ columns, rows }: Table): string =>
  [columns, ...rows].map((row) => row.map(quoted).join(',')).join('\r\n') + '\r\n';
