/** How many units of a place ask something of someone, by when. */
export function dueWords(counts: { today: number; thisWeek: number; nextVisit: number }): string {
  const parts: [number, string][] = [
    [counts.today, 'today'],
    [counts.thisWeek, 'this week'],
    [counts.nextVisit, 'at the next visit'],
  ];
  const said = parts.filter(([units]) => units > 0);
  return said
    .map(([units, when], index) => `${units}${index === 0 ? (units === 1 ? ' unit' : ' units') : ''} ${when}`)
    .join(', ');
}
