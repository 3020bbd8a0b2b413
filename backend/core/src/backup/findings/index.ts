export { dischargeFirst, moduleFinding } from './finding-parts.js';
export { hazardsOf } from './hazards.js';
export { moduleFindings } from './module-findings.js';
