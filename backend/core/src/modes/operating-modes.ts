import { saturationCurve } from '../refrigerants/index.js';
import type { CircuitSeries } from '../telemetry/circuit-series.js';
import type { UnitEntry } from '../telemetry/registry.js';
import { pumpDowns } from './pump-down.js';
import { runningSamples } from './running.js';

/** What a machine is doing, as far as its signals tell. Hot-gas bypass for capacity is not visible in this telemetry. */
export const operatingModes = ['standing', 'cooling', 'reversed', 'defrost', 'pump-down'] as const;
export type OperatingMode = (typeof operatingModes)[number];

export interface ModeContext {
  refrigerant: string;
  unit?: Pick<UnitEntry, 'reversible'> | undefined;
  /** How far each may be from what was measured by the way it is sent, K and Pa; nothing by default. */
  shown?: { water_K?: number; suctionTemperature_K?: number; suctionPressure_Pa?: number };
}

/** A sign of the wrong mode counts when it has lasted so long, s: a start's first moments look like anything. */
const lasting_s = 60;
/** A shorter spell of warmed evaporator is a defrost, a longer one reversed running, s. */
const longestDefrost_s = 1800;
const margin = { water_K: 0.5, evaporating_K: 1, suction_K: 3, pressureRatio: 1.1 };
/** A condenser condenses no more than this over the water that leaves it, an evaporator evaporates no more than this under its water, K. Judgement, no source. */
const widestApproach_K = 15;
/** A sign in less than this fraction of the running time comes and goes, as a mode does; in more it is a wrong sensor or a fixed one. */
const comesAndGoes = { evaporatesAbove: 0.5, pressuresReversed: 0.9 };

/**
 * The mode at each sample.
 *
 * An evaporator cools its water: it evaporates below the water that leaves, its vapour leaves no warmer than the
 * water is, and suction lies under discharge pressure. Where the water is warmed instead and one of these three does
 * not hold either, the circuit works the other way round: a defrost where that lasts under half an hour, reversed running
 * beyond. A machine whose suction sensors sit at the compressor shows none of the three while it heats, but it condenses
 * at the water that it warms, and evaporates far under it. Water that several circuits share may still be cooled while one
 * of them is defrosted: a circuit that cooled just before and evaporates above its water for under half an hour is
 * defrosted too. A sign that is there all the time while water is cooled is no mode but a wrong sensor, and counts for
 * nothing. Between spells of reversed running, a short spell
 * of cooling is its reverse-cycle defrost. Without water temperatures a unit is reversed where it is registered as
 * reversible, or where its pressures are the other way round only for a part of the time.
 */
export function operatingModesOf(
  series: CircuitSeries,
  context: ModeContext,
  runs = runningSamples(series, context.refrigerant),
): OperatingMode[] {
  const { time_s } = series;
  const modes: OperatingMode[] = [];
  for (let i = 0; i < runs.length; i++) modes.push(runs[i] ? 'cooling' : 'standing');
  const signs = signsOf(series, runs, context);
  const wrongWay = lasting(time_s, runs, (i) => isWrongWay(signs, i, context.unit?.reversible === true));
  for (const { from, to } of wrongWay) {
    const length_s = time_s[to] - time_s[from];
    const cut = from === 0 || to === time_s.length - 1;
    const mode =
      length_s > longestDefrost_s || (cut && signs.warmed[to] === 1 && context.unit?.reversible)
        ? 'reversed'
        : 'defrost';
    for (let i = from; i <= to; i++) modes[i] = mode;
  }
  markReverseCycleDefrosts(time_s, modes);
  for (const { from, to } of pumpDowns(series, runs, context.refrigerant))
    for (let i = from; i < to; i++) if (modes[i] === 'cooling') modes[i] = 'pump-down';
  return modes;
}

interface Signs {
  /** 1: the water is warmed, 0: it is cooled or neither, 255: not known. */
  warmed: Uint8Array;
  evaporatesAbove: Uint8Array;
  vapourAbove: Uint8Array;
  pressuresReversed: Uint8Array;
  /** Condenses at the water that leaves, and evaporates far under it. */
  condensesInWater: Uint8Array;
  /** Whether the sign comes and goes, as a mode does. */
  comesAndGoes: { evaporatesAbove: boolean; pressuresReversed: boolean };
}

function signsOf(series: CircuitSeries, runs: Uint8Array, { refrigerant, shown }: ModeContext): Signs {
  const dew = saturationCurve(refrigerant, 'dew').temperature;
  const n = series.time_s.length;
  const signs: Signs = {
    warmed: new Uint8Array(n).fill(255),
    evaporatesAbove: new Uint8Array(n),
    vapourAbove: new Uint8Array(n),
    pressuresReversed: new Uint8Array(n),
    condensesInWater: new Uint8Array(n),
    comesAndGoes: { evaporatesAbove: false, pressuresReversed: false },
  };
  const water_K = margin.water_K + 2 * (shown?.water_K ?? 0);
  const over_K = margin.evaporating_K + (shown?.water_K ?? 0);
  const suction_K = margin.suction_K + (shown?.suctionTemperature_K ?? 0) + (shown?.water_K ?? 0);
  let above = 0;
  let reversed = 0;
  let ran = 0;
  for (let i = 0; i < n; i++) {
    if (runs[i] !== 1) continue;
    ran++;
    const entering_K = series.enteringWaterTemperature_K[i];
    const leaving_K = series.leavingWaterTemperature_K[i];
    if (Number.isFinite(entering_K + leaving_K)) signs.warmed[i] = leaving_K - entering_K > water_K ? 1 : 0;
    const evaporating_K = dew(series.suctionPressure_Pa[i] - (shown?.suctionPressure_Pa ?? 0));
    if (evaporating_K > leaving_K + over_K) {
      signs.evaporatesAbove[i] = 1;
      above++;
    }
    const warmer_K = leaving_K > entering_K ? leaving_K : entering_K;
    if (series.suctionTemperature_K[i] > warmer_K + suction_K) signs.vapourAbove[i] = 1;
    if (series.suctionPressure_Pa[i] > margin.pressureRatio * series.dischargePressure_Pa[i]) {
      signs.pressuresReversed[i] = 1;
      reversed++;
    }
    const over_water_K = dew(series.dischargePressure_Pa[i]) - leaving_K;
    if (
      over_water_K >= -over_K &&
      over_water_K <= widestApproach_K &&
      evaporating_K < Math.min(entering_K, leaving_K) - widestApproach_K
    )
      signs.condensesInWater[i] = 1;
  }
  signs.comesAndGoes = {
    evaporatesAbove: above < comesAndGoes.evaporatesAbove * ran,
    pressuresReversed: reversed < comesAndGoes.pressuresReversed * ran,
  };
  return signs;
}

function isWrongWay(signs: Signs, i: number, reversible: boolean): boolean {
  const port = signs.evaporatesAbove[i] + signs.vapourAbove[i] + signs.pressuresReversed[i];
  if (signs.warmed[i] === 1) return port > 0 || reversible || signs.condensesInWater[i] === 1;
  if (signs.warmed[i] === 0) return signs.evaporatesAbove[i] === 1 && signs.comesAndGoes.evaporatesAbove;
  return signs.pressuresReversed[i] === 1 && (reversible || signs.comesAndGoes.pressuresReversed);
}

/** First and last index of spells in which a sign holds while running, for at least `lasting_s`; gaps of a minute do not part them. */
function lasting(
  time_s: Float64Array,
  runs: Uint8Array,
  holds: (i: number) => boolean,
): { from: number; to: number }[] {
  const spells: { from: number; to: number }[] = [];
  let from = -1;
  let last = -1;
  const close = () => {
    if (from >= 0 && time_s[last] - time_s[from] >= lasting_s) spells.push({ from, to: last });
    from = -1;
  };
  for (let i = 0; i < runs.length; i++) {
    if (runs[i] === 1 && holds(i)) {
      if (from >= 0 && time_s[i] - time_s[last] > 600) close();
      if (from < 0) from = i;
      last = i;
    } else if (from >= 0 && (runs[i] === 0 || time_s[i] - time_s[last] > lasting_s)) close();
  }
  close();
  return spells;
}

/**
 * Cooling for under half an hour with reversed running before and after it, without a stop between; at an end of the
 * series one of the two is enough: a unit that changes over stops first.
 */
function markReverseCycleDefrosts(time_s: Float64Array, modes: OperatingMode[]): void {
  const n = modes.length;
  for (let from = 0; from < n;) {
    let to = from;
    while (to < n && modes[to] === modes[from]) to++;
    if (modes[from] === 'cooling' && time_s[to - 1] - time_s[from] <= longestDefrost_s) {
      const before = from > 0 ? modes[from - 1] === 'reversed' : null;
      const after = to < n ? modes[to] === 'reversed' : null;
      if ((before ?? true) && (after ?? true) && (before === true || after === true))
        modes.fill('defrost', from, to);
    }
    from = to;
  }
}
