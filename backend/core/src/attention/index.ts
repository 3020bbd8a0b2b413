export * from './round.js';
