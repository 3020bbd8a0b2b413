export * from './cause-pattern.js';
export * from './physical-patterns.js';
export * from './sensor-patterns.js';
export * from './weigh-causes.js';
export * from './compare-with-normal.js';
