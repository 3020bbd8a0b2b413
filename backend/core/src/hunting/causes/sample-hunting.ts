import { window, type Change } from '../../steadiness/sample-window.js';
import type {
  SwingPartner,
  WindowJudgement,
  WindowOscillation,
} from '../../steadiness/windows/window-judgement.js';

/** Two hours that hunt by 2 K every 200 s, the crest in the middle, with what differs. */
export function huntingWindow(
  k: number,
  oscillation: Partial<WindowOscillation> = {},
  change: Change = {},
): WindowJudgement {
  const one = window(k, change);
  return {
    ...one,
    oscillation: {
      ...one.oscillation,
      oscillating: true,
      period_s: 200,
      amplitude: 2,
      judgedMinutes: 120,
      huntingMinutes: 120,
      crest_s: one.from_s + 3600,
      ...oscillation,
    },
  };
}

/** A signal that swings along, in step with superheat. */
export const partner = (
  signal: SwingPartner['signal'],
  change: Partial<SwingPartner> = {},
): SwingPartner => ({
  signal,
  amplitude: 1,
  varianceFraction: 0.5,
  coherence: 0.9,
  lead_cycles: 0,
  ...change,
});
