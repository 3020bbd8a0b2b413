import { hunts } from '../steadiness/windows/summaries.js';
import type { HuntingAssessment, SteadyFloor } from '../steadiness/circuit-assessment.js';
import type { WindowJudgement } from '../steadiness/windows/window-judgement.js';
import { weighCauses } from './causes/hunting-causes.js';
import { huntingEvidence } from './causes/hunting-evidence.js';
import { separatingCheck } from './causes/separating-check.js';

/** Least hunting of which anything is said: two windows, or an hour, and a tenth of the minutes judged. */
const least = { minutes: 60, fraction: 0.1 };

/**
 * Hunting over the windows given, with its likeliest causes. Null where it does not hunt, or too little was judged.
 * Where the level of superheat says nothing (`levelCounts` false: a flooded evaporator, or a sensor that reads wrong),
 * only the swing does.
 */
export function assessHunting(
  windows: readonly WindowJudgement[],
  neighbours: readonly (readonly WindowJudgement[])[],
  floor: SteadyFloor | null,
  levelCounts = true,
): HuntingAssessment | null {
  const hunting = windows.filter(hunts);
  const huntingMinutes = hunting.reduce((sum, window) => sum + window.oscillation.huntingMinutes, 0);
  const judgedMinutes = windows.reduce((sum, window) => sum + window.oscillation.judgedMinutes, 0);
  if (huntingMinutes < least.minutes || huntingMinutes < least.fraction * judgedMinutes) return null;
  const evidence = huntingEvidence(windows, neighbours, floor);
  if (!evidence) return null;
  const causes = weighCauses(levelCounts ? evidence : { ...evidence, mean_K: null, lowest_K: null });
  return {
    huntingMinutes,
    judgedMinutes,
    windows: hunting.length,
    period_s: evidence.period_s,
    amplitude_K: evidence.amplitude_K,
    firstSeen_s: hunting[0].from_s,
    lastSeen_s: hunting[hunting.length - 1].to_s,
    causes,
    separatingCheck: separatingCheck(causes),
  };
}
