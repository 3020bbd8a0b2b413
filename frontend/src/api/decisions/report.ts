import { queryOptions } from '@tanstack/react-query';
import { client, read } from '../client.js';
import type { components } from '../schema.js';

export type SiteReport = components['schemas']['SiteReport'];

/** What was found, done and saved at a site; `from` and `to` are calendar days there. */
export const siteReportQuery = (site: string, days: { from?: string; to?: string }) =>
  queryOptions({
    queryKey: ['site-report', site, days.from ?? '', days.to ?? ''],
    queryFn: ({ signal }) =>
      read(client.GET('/api/sites/{site}/report', { params: { path: { site }, query: days }, signal })),
  });
