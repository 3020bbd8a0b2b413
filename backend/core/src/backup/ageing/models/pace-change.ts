import { pick, type CourseModel } from './course-models.js';

/** A change in the pace of ageing. */
export interface PaceChange {
  at_s: number;
  faster: boolean;
}

const allButSure = 0.95;

/** The change of pace that nearly all of the weight agrees on; its place is the middle of theirs. */
export function paceChangeOf(
  models: readonly CourseModel[],
  startOfBin_s: (bin: number) => number,
): PaceChange | null {
  for (const faster of [true, false]) {
    const agreed = models.filter(({ change, quickens }) => change > 0 && quickens === faster);
    const weight = agreed.reduce((sum, model) => sum + model.weight, 0);
    if (weight < allButSure) continue;
    const middle = pick(
      agreed.sort((a, b) => a.change - b.change),
      weight / 2,
    );
    return { at_s: startOfBin_s(middle.change), faster };
  }
  return null;
}
