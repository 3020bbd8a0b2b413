import type { CourseModel } from './course-models.js';

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
  const changed = models.filter(({ change }) => change > 0);
  const faster = changed.filter(({ quickens }) => quickens);
  for (const agreed of [faster, changed.filter(({ quickens }) => !quickens)]) {
    const weight = agreed.reduce((sum, model) => sum + model.weight, 0);
    if (weight < allButSure) continue;
    let left = weight / 2;
    const middle = agreed.sort((a, b) => a.change - b.change).find((model) => (left -= model.weight) <= 0)!;
    return { at_s: startOfBin_s(middle.change), faster: agreed === faster };
  }
  return null;
}
