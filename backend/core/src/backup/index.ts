export * from './types.js';
export * from './settings.js';
