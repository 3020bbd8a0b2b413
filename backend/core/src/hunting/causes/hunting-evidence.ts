import { quantileSorted, sortedFinite } from '../../numerics/index.js';
import { hunts } from '../../steadiness/windows/summaries.js';
import { aloneAndTogether, meanDirection, sharedWithNeighbours, type HuntingCount } from './neighbours.js';
import type { SteadyFloor } from '../../steadiness/circuit-assessment.js';
import type {
  SwingPartner,
  SwingSignal,
  WindowJudgement,
} from '../../steadiness/windows/window-judgement.js';

/** What the hunting windows say together, each figure the median over them; null where none has it. */
export interface HuntingEvidence {
  windows: number;
  period_s: number;
  amplitude_K: number;
  /** Spread of the windows' periods over their median. */
  periodScatter: number;
  /** Fraction of the windows that the cross-correlation calls friction, and that it calls anything else. */
  frictionFraction: number;
  notFrictionFraction: number;
  deltaTau: number | null;
  openingSwing_pct: number | null;
  openingSwingScatter: number | null;
  opening_pct: number | null;
  openingAmplitude_pct: number | null;
  openingCoherence: number | null;
  setpoint_K: number | null;
  mean_K: number | null;
  lowest_K: number | null;
  underLimitFraction: number;
  load: SwingEvidence | null;
  enteringWater: SwingEvidence | null;
  leavingWater: SwingEvidence | null;
  setpoint: SwingEvidence | null;
  pressure: SwingEvidence | null;
  /** Means of the steady windows, to compare with. */
  steadyWindows: number;
  steadyOpening_pct: number | null;
  steadyMean_K: number | null;
  steadyLoad_pct: number | null;
  load_pct: number | null;
  /** Fraction of the windows that hunt, with the valve under a fifth open, and of the others; null where there are none. */
  huntingFractionNearShut: number | null;
  huntingFractionElsewhere: number | null;
  /** Fraction of the hunting windows in which another circuit swings at the same period, at least a third as far. */
  neighbourFraction: number | null;
  /** The same for a circuit that swings along at the same period, but less than a third as far: it only follows. */
  neighbourFollowsFraction: number | null;
  /** How far the neighbour swings at the shared period, over how far this one does; null where they share none. */
  neighbourRatio: number | null;
  /**
   * How far the neighbour's suction pressure swings over how far this circuit's does, where its superheat only follows; null where it
   * does not, or its pressure does not swing along.
   */
  neighbourPressureRatio: number | null;
  /** By how much this circuit's crest comes before the neighbour's, in cycles, where they share a period. */
  neighbourLead_cycles: number | null;
  /** How firmly that lead is kept from window to window: length of the mean direction, 0..1; null under three windows. */
  neighbourPhaseLocking: number | null;
  /** The windows that this is told from. */
  neighbourPhaseWindows: number | null;
  /** Windows that hunt while the other circuits stand, and while one runs at loads like those; null under three of either. */
  alone: HuntingCount | null;
  together: HuntingCount | null;
  /** Steady floor at the load of the hunting windows. */
  floor_K: number | null;
}

export interface SwingEvidence {
  signal: SwingSignal;
  amplitude: number;
  coherence: number | null;
  varianceFraction: number;
  lead_cycles: number;
}

export const nearShutForHunting_pct = 20;

type Figure = (window: WindowJudgement) => number | null | undefined;

/** Median of a figure over windows; null where none has it. */
function medianOver(windows: readonly WindowJudgement[], figure: Figure): number | null {
  const sorted = sortedFinite(windows.map((window) => figure(window) ?? NaN));
  return sorted.length > 0 ? quantileSorted(sorted, 0.5) : null;
}

/** Null when no window hunts. */
export function huntingEvidence(
  windows: readonly WindowJudgement[],
  neighbours: readonly (readonly WindowJudgement[])[],
  floor: SteadyFloor | null,
): HuntingEvidence | null {
  const hunting = windows.filter(hunts);
  if (hunting.length === 0) return null;
  const steady = windows.filter(
    (window) => window.oscillation.oscillating === false && (window.superheat?.minutes ?? 0) >= 30,
  );
  const of = (figure: Figure) => medianOver(hunting, figure);
  const ofSteady = (figure: Figure) => medianOver(steady, figure);
  const withOrigin = (origin: string) =>
    hunting.filter((window) => window.oscillation.origin === origin).length / hunting.length;
  const periods = sortedFinite(hunting.map((window) => window.oscillation.period_s ?? NaN));
  const period_s = quantileSorted(periods, 0.5);
  const load_pct = of((window) => window.conditions.compressorLoad_pct);
  const at =
    floor?.against === 'compressor-load' ? load_pct : of((window) => window.conditions.valveOpening_pct);
  const shared = sharedWithNeighbours(hunting, neighbours);
  const partnerOpening = (window: WindowJudgement) =>
    window.oscillation.partners.find((partner) => partner.signal === 'valve-opening');
  return {
    windows: hunting.length,
    period_s,
    amplitude_K: of((window) => window.oscillation.amplitude) ?? 0,
    periodScatter: (quantileSorted(periods, 0.84) - quantileSorted(periods, 0.16)) / 2 / period_s,
    frictionFraction: withOrigin('valve-friction'),
    notFrictionFraction: withOrigin('not-valve-friction'),
    deltaTau: of((window) => window.oscillation.originIndices.deltaTau),
    openingSwing_pct: of((window) => window.oscillation.shape?.openingSwing_pct),
    openingSwingScatter: of((window) => window.oscillation.shape?.openingSwingScatter),
    opening_pct: of((window) => window.conditions.valveOpening_pct),
    openingAmplitude_pct: of((window) => partnerOpening(window)?.amplitude),
    openingCoherence: of((window) => partnerOpening(window)?.coherence),
    setpoint_K: of((window) => window.superheat?.setpoint_K),
    mean_K: of((window) => window.superheat?.mean_K),
    lowest_K: of((window) => window.superheat?.percentile1_K),
    underLimitFraction: of((window) => window.superheat?.underLimitFraction) ?? 0,
    load: swingEvidence(hunting, 'compressor-load'),
    enteringWater: swingEvidence(hunting, 'entering-water'),
    leavingWater: swingEvidence(hunting, 'leaving-water'),
    setpoint: swingEvidence(hunting, 'superheat-setpoint'),
    pressure: swingEvidence(hunting, 'suction-pressure'),
    steadyWindows: steady.length,
    steadyOpening_pct: ofSteady((window) => window.conditions.valveOpening_pct),
    steadyMean_K: ofSteady((window) => window.superheat?.mean_K),
    steadyLoad_pct: ofSteady((window) => window.conditions.compressorLoad_pct),
    load_pct,
    ...byOpening([...hunting, ...steady]),
    neighbourFraction: shared?.fraction ?? null,
    neighbourFollowsFraction: shared?.follows ?? null,
    neighbourRatio: shared?.ratio ?? null,
    neighbourLead_cycles: shared?.lead_cycles ?? null,
    neighbourPhaseLocking: shared?.phaseLocking ?? null,
    neighbourPhaseWindows: shared?.phaseWindows ?? null,
    neighbourPressureRatio: shared?.pressureRatio ?? null,
    ...aloneAndTogether(windows, neighbours),
    floor_K: at === null ? null : floorAt(floor, at),
  };
}

/** A signal's part in the swing, where at least half of the hunting windows have it. */
function swingEvidence(hunting: readonly WindowJudgement[], signal: SwingSignal): SwingEvidence | null {
  const parts = hunting
    .map((window) => window.oscillation.partners.find((partner) => partner.signal === signal))
    .filter((part): part is SwingPartner => part !== undefined);
  if (parts.length < 0.5 * hunting.length) return null;
  const middle = (value: (part: SwingPartner) => number | null) => {
    const sorted = sortedFinite(parts.map((part) => value(part) ?? NaN));
    return sorted.length > 0 ? quantileSorted(sorted, 0.5) : null;
  };
  return {
    signal,
    amplitude: middle((part) => part.amplitude) ?? 0,
    coherence: middle((part) => part.coherence),
    varianceFraction: middle((part) => part.varianceFraction) ?? 0,
    lead_cycles: meanDirection(parts.map((part) => part.lead_cycles)).cycles,
  };
}

/** How often it hunts with the valve nearly closed, and otherwise. */
function byOpening(
  windows: readonly WindowJudgement[],
): Pick<HuntingEvidence, 'huntingFractionNearShut' | 'huntingFractionElsewhere'> {
  const fractionOf = (list: readonly WindowJudgement[]) =>
    list.length > 0 ? list.filter(hunts).length / list.length : null;
  const opening = (window: WindowJudgement) => window.conditions.valveOpening_pct ?? NaN;
  return {
    huntingFractionNearShut: fractionOf(windows.filter((one) => opening(one) < nearShutForHunting_pct)),
    huntingFractionElsewhere: fractionOf(windows.filter((one) => opening(one) >= nearShutForHunting_pct)),
  };
}

const floorAt = (floor: SteadyFloor | null, at: number): number | null =>
  floor?.parts.find((part) => at >= part.from && (at < part.to || part.to >= 100))?.floor_K ?? null;
