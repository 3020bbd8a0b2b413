export * from './topic.js';
export * from './payload.js';
export * from './metric-value.js';
export * from './edge-node.js';
export * from './point-units.js';
export * from './read-points.js';
export * from './guess-points.js';
