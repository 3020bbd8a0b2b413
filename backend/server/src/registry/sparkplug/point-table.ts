import {
  offeredUnit,
  pointQuantities,
  type Cell,
  type RegistryTable,
  type SparkplugPoint,
  type SparkplugStream,
} from '@coldrounds/core';
import type { FleetUnit } from '../../storage/fleet.js';
import { sparkplugPointSchema } from '../entry-schemas.js';

export interface PointsOfUnit {
  unit: FleetUnit;
  points: SparkplugPoint[];
}

export interface PointProblem {
  /** Counted from 1 under the heads. */
  row: number;
  sentence: string;
}

/** Heads of the table, and how else they are written. */
const columns = [
  ['Site', /^site( key)?$/],
  ['Unit', /^(unit|chiller|machine)$/],
  ['Group', /^group( id)?$/],
  ['Edge node', /^(edge( node)?( id)?|node)$/],
  ['Device', /^device( id)?$/],
  ['Metric', /^(metric|tag)( name)?$/],
  ['Part', /^part$/],
  ['Quantity', /^quantity$/],
  ['Sent in', /^(sent in|unit of measure|units|uom)$/],
  ['Times', /^(times|scale|factor)$/],
] as const;
type Head = (typeof columns)[number][0];

const partWords: Record<SparkplugStream, string> = {
  circuits: 'circuit',
  water: 'water',
  condenser: 'condenser',
  backup: 'backup module',
};

/** The points of units as a table that `readPointTable` reads back: a row for each. */
export const writePointTable = (
  units: readonly { site: string; unit: string; points: readonly SparkplugPoint[] }[],
): RegistryTable => ({
  heads: columns.map(([head]) => head),
  rows: units.flatMap(({ site, unit, points }) =>
    points.map(({ group, edge, device, metric, stream, number, quantity, unit: sentIn, scale }) => [
      ...[site, unit, group, edge, device ?? null, metric],
      ...[number === undefined ? partWords[stream] : `${partWords[stream]} ${number}`],
      ...[quantity.replaceAll('-', ' '), sentIn, scale ?? null],
    ]),
  ),
});

export interface PointTable {
  rows: number;
  /** By `site/unit`. */
  units: Map<string, { row: number; point: SparkplugPoint }[]>;
  problems: PointProblem[];
}

/** A table of points: all rows of a unit together are its points. */
export function readPointTable({ heads, rows }: RegistryTable): PointTable {
  const places = new Map<Head, number>();
  heads.forEach((head, place) => {
    const words = head
      .trim()
      .toLowerCase()
      .replace(/[\s_]+/g, ' ');
    const found = columns.find(([name, other]) => !places.has(name) && other.test(words));
    if (found) places.set(found[0], place);
  });
  const table: PointTable = { rows: rows.length, units: new Map(), problems: [] };
  const missing = columns.filter(([head]) => head !== 'Times' && head !== 'Device' && !places.has(head));
  if (missing.length > 0) {
    const names = missing.map(([head]) => `"${head}"`).join(', ');
    table.problems.push({ row: 0, sentence: `The table has no column ${names}.` });
    return table;
  }
  rows.forEach((cells, place) => {
    const text = (head: Head) => cellText(cells[places.get(head) ?? -1]);
    if (cells.every((cell) => cellText(cell) === '')) return;
    const point = pointOf(text);
    const row = place + 1;
    if (typeof point === 'string') return void table.problems.push({ row, sentence: point });
    const name = `${keyOf(text('Site'))}/${keyOf(text('Unit'))}`;
    table.units.set(name, [...(table.units.get(name) ?? []), { row, point }]);
  });
  return table;
}

/** As a site or unit is named in topics, however a person writes it. */
const keyOf = (words: string) => words.toLowerCase().replace(/[\s_]+/g, '-');

const cellText = (cell: Cell | undefined): string => String(cell ?? '').trim();

function pointOf(text: (head: Head) => string): SparkplugPoint | string {
  const part = /^(circuit|water|condenser|backup module|backup|module)\s*(\d+)?$/.exec(
    text('Part').toLowerCase(),
  );
  if (part === null)
    return `"${text('Part')}" is no part of a unit: write circuit 1, water, condenser or backup module 1.`;
  const [, word, digits] = part;
  const stream: SparkplugStream =
    word === 'circuit' ? 'circuits' : word === 'water' || word === 'condenser' ? word : 'backup';
  const quantity = text('Quantity')
    .toLowerCase()
    .replace(/[\s_]+/g, '-');
  const metric = pointQuantities[stream].find(({ name }) => name === quantity);
  const sentIn = text('Sent in');
  const times = text('Times').replace(',', '.');
  const read = sparkplugPointSchema.safeParse({
    ...{ group: text('Group'), edge: text('Edge node'), metric: text('Metric'), stream, quantity },
    ...(text('Device') === '' ? {} : { device: text('Device') }),
    ...(digits === undefined ? {} : { number: Number(digits) }),
    unit:
      (metric && offeredUnit(sentIn, { metric, difference: quantity === 'superheat-setpoint' })) ?? sentIn,
    ...(times === '' || times === '1' ? {} : { scale: Number(times) }),
  });
  if (read.success) return read.data;
  const [issue] = read.error.issues;
  return `${words[String(issue.path[0])] ?? 'The row'} ${issue.message}.`;
}

const words: Record<string, string> = {
  ...{ group: 'The group', edge: 'The edge node', device: 'The device', metric: 'The metric' },
  ...{
    number: 'The number of the part',
    quantity: 'The quantity',
    unit: 'The unit it is sent in',
    scale: 'The factor',
  },
};

/** What of a unit's points cannot be: parts that it does not have, and quantities that come twice. */
export function problemsOf(
  { circuits, modules }: FleetUnit,
  points: readonly SparkplugPoint[],
): { place: number; sentence: string }[] {
  const seen = new Map<string, number>();
  return points.flatMap(({ stream, number, quantity }, place) => {
    const parts = stream === 'circuits' ? circuits : stream === 'backup' ? modules : null;
    if (parts !== null && !parts.some((part) => part.number === number))
      return [{ place, sentence: `The unit has no ${partWords[stream]} ${number}.` }];
    const key = `${stream} ${number} ${quantity}`;
    const before = seen.get(key);
    seen.set(key, place);
    const whose = number === undefined ? partWords[stream] : `${partWords[stream]} ${number}`;
    return before === undefined
      ? []
      : [{ place, sentence: `The ${quantity.replaceAll('-', ' ')} of ${whose} comes from two metrics.` }];
  });
}
