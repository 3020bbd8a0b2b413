export * from './coming-failures.js';
export * from './kaplan-meier.js';
export * from './lifetime.js';
export * from './log-rank.js';
