/** At least this much of the correlation is taken away: what a day shows of it need not hold the next. */
const leastShrinkage = 0.2;

/**
 * Correlation of several series, row by row, shrunk towards none with the intensity of Schaefer & Strimmer 2005 (Stat.
 * Appl. Genet. Mol. Biol. 4:32, equation of target D with unit variances): the noisier the estimates, the more. Values
 * over three standard deviations are limited to three, so that one odd plateau makes no correlation. Rows in which a
 * series is missing are passed over for its pairs.
 */
export function shrunkCorrelation(series: readonly (readonly number[])[]): number[] {
  const p = series.length;
  const standard = series.map(standardised);
  const estimate = new Array<number>(p * p).fill(0);
  let variances = 0;
  let squares = 0;
  for (let a = 0; a < p; a++)
    for (let b = a + 1; b < p; b++) {
      const products: number[] = [];
      standard[a].forEach((value, i) => {
        const product = value * standard[b][i];
        if (Number.isFinite(product)) products.push(product);
      });
      const n = products.length;
      if (n < 4) continue;
      const mean = products.reduce((sum, value) => sum + value, 0) / n;
      const r = Math.max(-0.98, Math.min(0.98, mean));
      estimate[a * p + b] = estimate[b * p + a] = r;
      squares += r * r;
      variances += products.reduce((sum, value) => sum + (value - mean) ** 2, 0) / (n * (n - 1));
    }
  const shrinkage = Math.max(leastShrinkage, Math.min(1, squares === 0 ? 1 : variances / squares));
  return estimate.map((r, k) => (k % (p + 1) === 0 ? 1 : (1 - shrinkage) * r));
}

function standardised(values: readonly number[]): number[] {
  const finite = values.filter(Number.isFinite);
  const mean = finite.reduce((sum, value) => sum + value, 0) / finite.length;
  const spread = Math.sqrt(finite.reduce((sum, value) => sum + (value - mean) ** 2, 0) / finite.length) || 1;
  return values.map((value) => Math.max(-3, Math.min(3, (value - mean) / spread)));
}
