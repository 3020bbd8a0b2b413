export * from './half-cycles.js';
export * from './regularity-indices.js';
export * from './spectral-peak.js';
export * from './detect-oscillation.js';
export * from './oscillation-origin.js';
export * from './swing-partners.js';
export * from './cycle-shape.js';
