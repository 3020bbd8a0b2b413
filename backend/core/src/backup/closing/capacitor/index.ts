export type { CapacitorEstimate, Discharge } from './discharge.js';
export { estimateCapacitor } from './estimate-capacitor.js';
export { longestDrive } from './longest-drive.js';
