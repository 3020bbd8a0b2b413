export * from './draft.js';
export * from './complete-unit.js';
export * from './draft-of.js';
export * from './what-is-missing.js';
export type { Doubt } from './doubt.js';
export * from './check-unit.js';
export * from './judge-draft.js';
export { openCapacity_W, usualPoint } from './checks/valve-capacity.js';
export * from './table/index.js';
