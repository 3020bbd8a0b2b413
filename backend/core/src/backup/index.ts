export * from './types.js';
export * from './settings.js';
export * from './errors.js';
export * from './runtime.js';
export * from './estimate-capacitor.js';
export * from './closing-energy.js';
export * from './judge-closing.js';
