export * from './contract.js';
export * from './registry.js';
export * from './circuit-series.js';
