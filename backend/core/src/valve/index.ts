export * from './valve-use.js';
export * from './wear.js';
