export { lastingSteps, type LastingStep, type LastingStepOptions } from './lasting-steps.js';
