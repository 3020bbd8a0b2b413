export * from './database.js';
export * from './ensure-database.js';
export * from './migrate.js';
export * from './telemetry-tables.js';
export * from './time-series.js';
