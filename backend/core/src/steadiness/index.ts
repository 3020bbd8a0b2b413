export * from './window-judgement.js';
export * from './circuit-assessment.js';
export * from './operating-states.js';
export * from './steadiness.js';
export * from './judge-window.js';
export * from './summaries.js';
export * from './steady-floor.js';
export * from './headroom.js';
