import type { Finding } from '../../diagnosis/index.js';
import { drainFindings } from './drain-findings.js';
import type { FindingContext } from './finding-parts.js';
import { healthFindings } from './health-findings.js';
import { proofFindings } from './proof-findings.js';
import { reserveFindings } from './reserve-findings.js';
import { suddenFindings } from './sudden-findings.js';

/** All findings of one module. */
export function moduleFindings(context: FindingContext): Finding[] {
  return [
    ...reserveFindings(context),
    ...suddenFindings(context),
    ...proofFindings(context),
    ...drainFindings(context),
    ...healthFindings(context),
  ];
}
