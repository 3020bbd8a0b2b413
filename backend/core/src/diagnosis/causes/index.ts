export * from './patterns/cause-pattern.js';
export * from './patterns/physical-patterns.js';
export * from './patterns/sensor-patterns.js';
export * from './weigh-causes.js';
export * from './compare-with-normal.js';
export * from './weighing/signatures.js';
