/** The few functions of jstat that are used; the package carries no types. */
declare module 'jstat' {
  interface Distribution {
    cdf(x: number, ...parameters: number[]): number;
    inv(probability: number, ...parameters: number[]): number;
  }
  const jstat: {
    studentt: Distribution;
    chisquare: Distribution;
    centralF: Distribution;
    normal: Distribution;
    beta: Distribution;
  };
  export = jstat;
}
