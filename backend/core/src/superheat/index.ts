export * from './superheat.js';
export * from './uncertainty.js';
export * from './ph-diagram.js';
