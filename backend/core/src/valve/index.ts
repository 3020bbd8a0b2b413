export * from './valve-use.js';
export * from './follows-superheat.js';
export * from './valve-flow.js';
export * from './wear.js';
