export { doubtfulUnits } from './doubtful-units.js';
export { readLogColumns, type LogOptions, type LogReading, type LogTable } from './log-columns.js';
export type { DateOrder } from './log-times.js';
