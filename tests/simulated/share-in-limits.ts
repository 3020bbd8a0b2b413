/**
 * Share of the cases that are true, of those that are not null. A draw of some 200 cases strays from its true share by
 * 3 points and so out of the limits by chance about once in a hundred; then a second draw is added before it is judged.
 */
export function shareInLimits(
  first: () => (boolean | null)[],
  second: () => (boolean | null)[],
  [least, most]: readonly [number, number],
): { share: number; counted: number } {
  const shareOf = (cases: (boolean | null)[]) => {
    const counted = cases.filter((one) => one !== null);
    return { share: counted.filter((one) => one).length / counted.length, counted: counted.length };
  };
  const cases = first();
  const alone = shareOf(cases);
  return alone.share >= least && alone.share <= most ? alone : shareOf([...cases, ...second()]);
}
