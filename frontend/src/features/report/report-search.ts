/** Calendar days of a report, kept in the address; left out: the last 30 days. */
export interface ReportSearch {
  from?: string;
  to?: string;
}

const dayOf = (value: unknown): string | undefined =>
  typeof value === 'string' && /^\d{4}-\d{2}-\d{2}$/.test(value) && !Number.isNaN(Date.parse(value))
    ? value
    : undefined;

export const readReportSearch = (search: Record<string, unknown>): ReportSearch => ({
  from: dayOf(search.from),
  to: dayOf(search.to),
});
