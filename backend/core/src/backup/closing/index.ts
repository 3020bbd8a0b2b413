export { estimateCapacitor, longestDrive } from './capacitor/index.js';
export type { CapacitorEstimate, Discharge } from './capacitor/index.js';
export { type ClosingDemand, circuitsOf, closingDemand } from './closing-energy.js';
export { type ClosingJudgement, type ClosingTrace, type JudgeClosingInput } from './closing-judgement.js';
export { motorPower_W } from './drive-power.js';
export { judgeClosing } from './judge-closing.js';
export { type ProofState, failedToShut, proofState } from './proof.js';
export { shutOpening_pct } from './trace-figures.js';
