export { moduleFindings } from './module-findings.js';
