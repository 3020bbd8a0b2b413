export * from './round.js';
export * from './attention-load.js';
