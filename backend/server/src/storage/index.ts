export * from './circuit-series.js';
export * from './database.js';
export * from './ensure-database.js';
export * from './ingest-repository.js';
export * from './migrate.js';
export * from './series-rows.js';
export * from './telemetry-tables.js';
export * from './time-series.js';
