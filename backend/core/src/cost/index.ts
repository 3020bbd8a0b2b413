export * from './estimate.js';
export * from './ideal-cycle.js';
export * from './superheat-zone.js';
export * from './compressor-power.js';
export * from './running-hours.js';
export * from './circuit-energy.js';
export * from './saved-since.js';
