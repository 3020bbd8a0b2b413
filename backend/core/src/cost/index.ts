export * from './estimate.js';
export * from './cycle/ideal-cycle.js';
export * from './cycle/superheat-zone.js';
export * from './cycle/compressor-power.js';
export * from './running-hours.js';
export * from './circuit-energy.js';
export * from './saved-since.js';
