import 'vitest';

declare module 'vitest' {
  interface ProvidedContext {
    /** Of every test that draws numbers: `vitest.config.ts` fixes it, `npm run soak` varies it. */
    seed: number;
  }
}
