export * from './statement.js';
export * from './finding.js';
export * from './cause.js';
export * from './draft.js';
export * from './not-judged.js';
export * from './wrong-refrigerant.js';
