import { describe, expect, it } from 'vitest';
import { SiteReportService, type SiteReportParts } from './site-report.service.js';

const at = new Date('2026-11-20T06:00:00Z');

/** A report on a site with one open problem that was kept as `document`. */
async function found(document: object) {
  const nothing = () => Promise.resolve([]);
  const problem = { id: '1', unitId: 1, unit: 'a', unitName: 'A', openedAt: at, endedAt: null };
  const service = new SiteReportService({
    reports: {
      today: () => Promise.resolve({ today: '2026-11-28', before: '2026-10-30' }),
      instants: () => Promise.resolve({ from: at, until: at }),
      problems: () =>
        Promise.resolve([{ ...problem, document: { symptoms: [], subject: { circuit: 1 }, ...document } }]),
      visits: nothing,
      modules: nothing,
    },
    registry: { sites: () => Promise.resolve([{ id: 1, key: 'harbour', name: 'Harbour', altitude_m: 0 }]) },
    decisions: { states: nothing },
    energies: { bySite: nothing, saved: nothing },
  } as unknown as SiteReportParts);
  return (await service.report('harbour', {})).found;
}

describe('the report to the owner of a site', () => {
  it('carries what must be minded at a problem, as the other pages do', async () => {
    const leak = 'R290 may have leaked, and it is flammable (class A3): before anyone enters, ventilate.';
    const [problem] = await found({ cause: 'missing-refrigerant', urgency: 'today', cautions: [leak] });
    expect(problem.cautions).toEqual([leak]);
  });
  it('takes a problem that was kept before there were cautions', async () => {
    const [problem] = await found({ cause: 'valve-friction', urgency: 'next-visit' });
    expect(problem.cautions).toEqual([]);
  });
});
