export type { Step } from './find-steps.js';
export { capacitanceOfTests, esrOfTests, lawAndSteps } from './law-and-steps.js';
