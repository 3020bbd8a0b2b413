/** What of a plan is shown, kept in the address. */
export interface PlanSearch {
  /** Whose; left out: one's own. */
  person?: number;
  /** Left out: today and what is overdue. */
  span?: 'week' | 'all';
}

export function readPlanSearch(search: Record<string, unknown>): PlanSearch {
  const person = Number(search.person);
  return {
    ...(Number.isInteger(person) && person > 0 ? { person } : {}),
    ...(search.span === 'week' || search.span === 'all' ? { span: search.span } : {}),
  };
}

const day_ms = 86_400_000;

/** The last day of a span, by the reader's own calendar; undefined: there is none. What is handed over for “in a week” is in the week. */
export function lastDayOf(span: PlanSearch['span'], now = new Date()): string | undefined {
  if (span === 'all') return undefined;
  const local = now.getTime() - now.getTimezoneOffset() * 60_000;
  return new Date(local + (span === 'week' ? 7 : 0) * day_ms).toISOString().slice(0, 10);
}
