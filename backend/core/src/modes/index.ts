export * from './running.js';
export * from './pump-down.js';
export * from './operating-modes.js';
