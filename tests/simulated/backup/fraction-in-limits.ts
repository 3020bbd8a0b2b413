/**
 * Fraction of the cases that are true, of those that are not null. A draw of some 200 cases strays from its true fraction by
 * 3 points and so out of the limits by chance about once in a hundred; then a second draw is added before it is judged.
 */
export function fractionInLimits(
  first: () => (boolean | null)[],
  second: () => (boolean | null)[],
  [least, most]: readonly [number, number],
): { fraction: number; counted: number } {
  const fractionOf = (cases: (boolean | null)[]) => {
    const counted = cases.filter((one) => one !== null);
    return { fraction: counted.filter((one) => one).length / counted.length, counted: counted.length };
  };
  const cases = first();
  const alone = fractionOf(cases);
  return alone.fraction >= least && alone.fraction <= most ? alone : fractionOf([...cases, ...second()]);
}
