export * from '../advice/advice.js';
export * from './diagnosis.js';
export * from './symptom-causes.js';
export * from './fewest-causes.js';
export * from './cause-wording.js';
export * from './diagnose-unit.js';
