export { columnName, guessColumns, tableColumns, type TableColumn } from './columns.js';
export { type Cell } from './read-cell.js';
export * from './read-table.js';
export { writeTable } from './write-table.js';
