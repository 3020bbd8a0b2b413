import type pg from 'pg';
import { Database } from '../../../backend/server/src/storage/index.js';

interface PlanNode {
  'Node Type': string;
  'Actual Rows': number;
  'Actual Loops': number;
  'Rows Removed by Filter'?: number;
  'Rows Removed by Index Recheck'?: number;
  Plans?: PlanNode[];
}

const readBy = (node: PlanNode): number => {
  const own = /Scan/.test(node['Node Type'])
    ? (node['Actual Rows'] +
        (node['Rows Removed by Filter'] ?? 0) +
        (node['Rows Removed by Index Recheck'] ?? 0)) *
      node['Actual Loops']
    : 0;
  return own + (node.Plans ?? []).reduce((sum, child) => sum + readBy(child), 0);
};

/** A database that counts the statements it is given, and the rows that they read from tables and indexes. */
export class CountingDatabase extends Database {
  statements = 0;
  rowsRead = 0;

  override async query<Row extends pg.QueryResultRow>(
    text: string | pg.QueryConfig,
    values?: unknown[],
  ): Promise<pg.QueryResult<Row>> {
    const [sql, parameters] = typeof text === 'string' ? [text, values] : [text.text, text.values];
    this.statements++;
    const { rows } = await super.query<{ 'QUERY PLAN': [{ Plan: PlanNode }] }>(
      `explain (analyze, timing off, format json) ${sql}`,
      parameters,
    );
    this.rowsRead += readBy(rows[0]['QUERY PLAN'][0].Plan);
    return super.query<Row>(text, values);
  }

  /** What `work` needs. */
  async during(work: () => Promise<unknown>): Promise<{ statements: number; rowsRead: number }> {
    const before = { statements: this.statements, rowsRead: this.rowsRead };
    await work();
    return { statements: this.statements - before.statements, rowsRead: this.rowsRead - before.rowsRead };
  }
}
