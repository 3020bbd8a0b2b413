import { datasets } from './datasets/index.js';
import type { Column, ColumnType } from './column.js';

const typeWords: Record<ColumnType, string> = {
  text: 'text',
  time: 'time',
  real: 'number, 7 digits',
  double: 'number',
  integer: 'whole number',
  flag: 'true or false',
};

const cells = (...texts: string[]) => `| ${texts.map((text) => text.replaceAll('|', '\\|')).join(' | ')} |`;

const rowOf = ({ name, type, unit, meaning }: Column) =>
  cells(`\`${name}\``, typeWords[type], unit ?? '', meaning);

/** Every table and column that can be taken away, in Markdown. */
export function dataDictionary(): string {
  return [
    '# Data dictionary',
    'Made from the code by `npm run openapi`; do not edit.',
    'Tables that `npx coldrounds export TABLE` and `GET /api/export/TABLE.parquet` (or `.csv`) give. [notebook.md](notebook.md) shows ' +
      'how to read them. Units are SI, written as SenML has them where it has them (RFC 8428); `1` is a plain ratio. Times are UTC: in Parquet ' +
      'microseconds adjusted to UTC, in CSV ISO 8601. What is missing is null in Parquet and empty in CSV. `site`, `unit`, ' +
      '`circuit` and `module` mean the same in all tables, so that they can be joined. Each Parquet file has this description of its columns in its own ' +
      'metadata, under the key `columns`.',
    ...datasets.flatMap(({ name, rowIs, spanOf, columns }) => [
      `## ${name}`,
      `${rowIs} \`--from\` and \`--to\` are of ${spanOf}.`,
      [
        cells('column', 'type', 'unit', 'meaning'),
        cells('---', '---', '---', '---'),
        ...columns.map(rowOf),
      ].join('\n'),
    ]),
  ]
    .join('\n\n')
    .concat('\n');
}
