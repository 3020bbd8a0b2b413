export * from './window-judgement.js';
export * from './circuit-assessment.js';
