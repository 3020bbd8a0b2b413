/**
 * Start of the calendar month (UTC) that a time lies in, or of one so many months later, s since the epoch.
 *
 * @example monthStart_s(Date.UTC(2026, 11, 24) / 1000, 1) // 1798761600, the first of January 2027
 */
export function monthStart_s(time_s: number, later = 0): number {
  const date = new Date(time_s * 1000);
  return Date.UTC(date.getUTCFullYear(), date.getUTCMonth() + later) / 1000;
}
