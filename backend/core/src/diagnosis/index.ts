export * from './statement.js';
export * from './finding.js';
