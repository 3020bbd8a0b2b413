import { quantity, statement, type Finding, type Hazard, type Statement } from '../diagnosis/index.js';
import { liquidDensity, refrigerantFacts, saturationTemperature } from '../refrigerants/index.js';
import { superheat } from '../superheat/index.js';
import type { CircuitEntry, CircuitSeries, ModuleEntry } from '../telemetry/index.js';
import { circuitsOf } from './closing-energy.js';
import { shutOpening_pct } from './judge-closing.js';
import { moduleFinding } from './module-findings.js';
import type {
  CircuitAroundLoss,
  CircuitLossReview,
  PowerLoss,
  PowerLossReview,
  ReviewPowerLossInput,
} from './types.js';

/** How long before the loss a value still counts as the one at the moment. */
const before_s = 300;
const restartWindow_s = 600;
/** Under this the last share of the pressure difference counts as met. */
const metShare = 0.05;
/** So long under the floodback limit within the ten minutes is a finding. */
const floodbackLasts_s = 60;

/**
 * What one loss of mains did: opening at the moment, closing, pressures afterwards, the most refrigerant that can have
 * passed, and the restart. What the telemetry does not show is `null`, and the verdict says so.
 */
export function reviewPowerLoss(input: ReviewPowerLossInput): PowerLossReview {
  const { module, loss, closing, around } = input;
  const judgement = closing?.judgement ?? null;
  const own = circuitsOf(module, input.circuits);
  const circuits = own.map((entry) => {
    const seen = around.find((each) => each.circuit === entry.number) ?? null;
    return reviewCircuit(entry, seen, loss, judgement?.openingAfter_pct ?? null);
  });

  const openingBefore_pct =
    judgement?.openingBefore_pct ?? greatest(circuits.map((c) => c.openingBefore_pct));
  const openingAfter_pct = judgement?.openingAfter_pct ?? greatest(circuits.map((c) => c.openingAfter_pct));
  const shut = judgement?.shut ?? (openingAfter_pct === null ? null : openingAfter_pct <= shutOpening_pct);
  const flooded = circuits.filter((circuit) => (circuit.restartUnderFloodback_s ?? 0) >= floodbackLasts_s);
  const outcome =
    shut === false
      ? 'did-not-shut'
      : flooded.length > 0
        ? 'floodback-at-restart'
        : shut === null
          ? 'unknown'
          : 'shut';
  const review: Omit<PowerLossReview, 'verdict' | 'caution' | 'findings'> = {
    module: module.number,
    from_s: loss.from_s,
    to_s: loss.to_s,
    duration_s: loss.to_s === null ? null : loss.to_s - loss.from_s,
    closingSent: closing !== null,
    shut,
    openingBefore_pct,
    openingAfter_pct,
    timeToShut_s: judgement?.timeToShut_s ?? null,
    voltageBefore_V: judgement?.voltageBefore_V ?? null,
    voltageAfter_V: judgement?.voltageAfter_V ?? null,
    energyUsed_J: judgement?.energyUsed_J ?? null,
    circuits,
    outcome,
  };
  return {
    ...review,
    verdict: verdictOf(review),
    caution: cautionOf(around),
    findings: findingsOf(module, own, review, hazardsOf(around)),
  };
}

function reviewCircuit(
  entry: CircuitEntry,
  seen: CircuitAroundLoss | null,
  loss: PowerLoss,
  closedTo_pct: number | null,
): CircuitLossReview {
  const nothing: CircuitLossReview = {
    circuit: entry.number,
    openingBefore_pct: null,
    openingAfter_pct: closedTo_pct,
    suctionPressureBefore_Pa: null,
    dischargePressureBefore_Pa: null,
    pressureHalved_s: null,
    pressureMet_s: null,
    refrigerantPassedAtMost_kg: null,
    restartAt_s: null,
    restartLeastSuperheat_K: null,
    restartUnderFloodback_s: null,
  };
  if (!seen) return nothing;
  const { series } = seen;
  const at = loss.from_s;
  const openingBefore_pct = lastBefore(series, series.valveOpening_pct, at);
  const suctionPressureBefore_Pa = lastBefore(series, series.suctionPressure_Pa, at);
  const dischargePressureBefore_Pa = lastBefore(series, series.dischargePressure_Pa, at);
  // A minute is enough for any closing; what the valve shows then, and until the restart, is where it stayed.
  const restartAt_s = restartOf(series, loss);
  const until_s = restartAt_s ?? loss.to_s ?? Infinity;
  const openingAfter_pct = closedTo_pct ?? firstWithin(series, series.valveOpening_pct, at + 60, until_s);
  const pressures = pressureCourse(series, at, until_s, suctionPressureBefore_Pa, dischargePressureBefore_Pa);
  return {
    ...nothing,
    openingBefore_pct,
    openingAfter_pct,
    suctionPressureBefore_Pa,
    dischargePressureBefore_Pa,
    pressureHalved_s: pressures.halved_s,
    pressureMet_s: pressures.met_s,
    refrigerantPassedAtMost_kg: mostPassed_kg(
      entry,
      seen,
      at,
      until_s,
      openingAfter_pct === null
        ? openingBefore_pct
        : openingAfter_pct <= shutOpening_pct
          ? 0
          : openingAfter_pct,
      dischargePressureBefore_Pa,
    ),
    restartAt_s,
    ...restartFigures(entry, seen, restartAt_s),
  };
}

/**
 * Upper bound of the refrigerant that can have passed through what stayed open: liquid all the way, with no flashing
 * in the valve, which would only choke it, at the full measured pressure difference:
 *
 *   m = integral of motors * (opening/100) * Kv * sqrt(1000 rho dp[bar]) / 3600 dt   (IEC 60534, MEMORY)
 *
 * kg, with Kv in m3/h of one valve and rho of saturated liquid at the high pressure. `null` where pressures are
 * missing. Differences seen only now and then are carried forward, which overstates a falling difference.
 */
export function mostPassed_kg(
  entry: CircuitEntry,
  seen: CircuitAroundLoss,
  from_s: number,
  to_s: number,
  opening_pct: number | null,
  highPressure_Pa: number | null,
): number | null {
  if (opening_pct === 0) return 0;
  if (opening_pct === null || highPressure_Pa === null) return null;
  const density = densityAt(seen.refrigerant, highPressure_Pa);
  if (density === null) return null;
  const { series } = seen;
  const kv = entry.valve.motors * (opening_pct / 100) * entry.valve.kv_m3_h;
  let mass_kg = 0;
  let difference_Pa = NaN;
  let last_s = from_s;
  for (let i = 0; i < series.time_s.length; i++) {
    const t = series.time_s[i]!;
    if (t > to_s) break;
    if (t > from_s && difference_Pa > 0)
      mass_kg +=
        (kv * Math.sqrt(1000 * density * (difference_Pa / 1e5)) * (t - Math.max(last_s, from_s))) / 3600;
    const now_Pa = series.dischargePressure_Pa[i]! - series.suctionPressure_Pa[i]!;
    if (Number.isFinite(now_Pa)) difference_Pa = Math.max(0, now_Pa);
    last_s = t;
  }
  return Number.isNaN(difference_Pa) ? null : mass_kg;
}

function densityAt(refrigerant: string, pressure_Pa: number): number | null {
  try {
    return liquidDensity(refrigerant, saturationTemperature(refrigerant, pressure_Pa, 'bubble'));
  } catch {
    // Outside the tables (a transducer gone wrong, or over the critical point) nothing can be said.
    return null;
  }
}

function pressureCourse(
  series: CircuitSeries,
  from_s: number,
  to_s: number,
  low_Pa: number | null,
  high_Pa: number | null,
): { halved_s: number | null; met_s: number | null } {
  let halved_s: number | null = null;
  let met_s: number | null = null;
  if (low_Pa === null || high_Pa === null || !(high_Pa > low_Pa)) return { halved_s, met_s };
  const first = high_Pa - low_Pa;
  for (let i = 0; i < series.time_s.length; i++) {
    const t = series.time_s[i]!;
    if (t < from_s) continue;
    if (t >= to_s) break;
    const now = series.dischargePressure_Pa[i]! - series.suctionPressure_Pa[i]!;
    if (!Number.isFinite(now)) continue;
    if (halved_s === null && now <= first / 2) halved_s = t - from_s;
    if (now <= metShare * first) {
      met_s = t - from_s;
      break;
    }
  }
  return { halved_s, met_s };
}

/**
 * The restart: the first time after the mains are back that the compressor is loaded or, where load is not sent, that
 * the high pressure rises over the low one by a tenth of the low.
 */
function restartOf(series: CircuitSeries, loss: PowerLoss): number | null {
  if (loss.to_s === null) return null;
  let least = Infinity;
  for (let i = 0; i < series.time_s.length; i++) {
    const t = series.time_s[i]!;
    if (t < loss.from_s) continue;
    const difference = series.dischargePressure_Pa[i]! - series.suctionPressure_Pa[i]!;
    if (t < loss.to_s) {
      if (difference < least) least = difference;
      continue;
    }
    const load = series.compressorLoad_pct[i]!;
    if (load > 1) return t;
    if (Number.isNaN(load) && difference > Math.max(0, least) + 0.1 * series.suctionPressure_Pa[i]!) return t;
    if (difference < least) least = difference;
  }
  return null;
}

function restartFigures(
  entry: CircuitEntry,
  { series, refrigerant }: CircuitAroundLoss,
  restartAt_s: number | null,
) {
  if (restartAt_s === null) return { restartLeastSuperheat_K: null, restartUnderFloodback_s: null };
  let least = Infinity;
  let under_s = 0;
  let last_s: number | null = null;
  for (let i = 0; i < series.time_s.length; i++) {
    const t = series.time_s[i]!;
    if (t < restartAt_s || t > restartAt_s + restartWindow_s) continue;
    const value = superheatAt(refrigerant, series, i);
    if (value === null) continue;
    if (value < least) least = value;
    // A gap is no evidence of floodback: no sample stands for more than half a minute.
    if (value < entry.floodbackLimit_K && last_s !== null) under_s += Math.min(30, t - last_s);
    last_s = t;
  }
  return least === Infinity
    ? { restartLeastSuperheat_K: null, restartUnderFloodback_s: null }
    : { restartLeastSuperheat_K: least, restartUnderFloodback_s: under_s };
}

function superheatAt(refrigerant: string, series: CircuitSeries, i: number): number | null {
  const pressure = series.suctionPressure_Pa[i]!;
  const temperature = series.suctionTemperature_K[i]!;
  if (!(pressure > 0) || !(temperature > 0)) return null;
  try {
    const value = superheat(refrigerant, pressure, temperature);
    return Number.isFinite(value) ? value : null;
  } catch {
    return null;
  }
}

function lastBefore(series: CircuitSeries, column: Float64Array, at_s: number): number | null {
  let found: number | null = null;
  for (let i = 0; i < series.time_s.length && series.time_s[i]! <= at_s; i++) {
    if (series.time_s[i]! >= at_s - before_s && Number.isFinite(column[i])) found = column[i]!;
  }
  return found;
}

function firstWithin(
  series: CircuitSeries,
  column: Float64Array,
  from_s: number,
  to_s: number,
): number | null {
  for (let i = 0; i < series.time_s.length && series.time_s[i]! < to_s; i++) {
    if (series.time_s[i]! >= from_s && Number.isFinite(column[i])) return column[i]!;
  }
  return null;
}

function greatest(values: (number | null)[]): number | null {
  const known = values.filter((value): value is number => value !== null);
  return known.length > 0 ? Math.max(...known) : null;
}

type Bare = Omit<PowerLossReview, 'verdict' | 'caution' | 'findings'>;

function verdictOf(review: Bare): Statement {
  const { circuits } = review;
  const passed = circuits.reduce((sum, circuit) => sum + (circuit.refrigerantPassedAtMost_kg ?? 0), 0);
  const worst = [...circuits]
    .filter((circuit) => circuit.restartLeastSuperheat_K !== null)
    .sort((a, b) => (b.restartUnderFloodback_s ?? 0) - (a.restartUnderFloodback_s ?? 0))[0];
  if (review.outcome === 'did-not-shut') {
    const stayed = quantity('percent-opening', review.openingAfter_pct ?? 0);
    return passed > 0
      ? statement(
          'The valve did not shut but stayed {opening} open; at most {mass} of refrigerant can have passed.',
          {
            opening: stayed,
            mass: quantity('mass', passed),
          },
        )
      : statement('The valve did not shut but stayed {opening} open.', { opening: stayed });
  }
  if (review.outcome === 'floodback-at-restart' && worst)
    return statement(
      review.shut
        ? 'The valve shut, but at the restart superheat fell to {least} and stayed under the floodback limit for {time}.'
        : 'Whether the valve shut cannot be said; at the restart superheat fell to {least} and stayed under the floodback limit for {time}.',
      {
        least: quantity('temperature-difference', worst.restartLeastSuperheat_K!),
        time: quantity('duration', worst.restartUnderFloodback_s!),
      },
    );
  if (review.outcome === 'unknown')
    return statement(
      review.closingSent
        ? 'A closing was sent, but not finely enough to say whether the valve shut.'
        : 'No closing was sent for this power loss, so whether the valve shut cannot be said.',
    );
  const restart: Statement = worst
    ? {
        text: ', and superheat at the restart stayed at {least} or more',
        quantities: { least: quantity('temperature-difference', worst.restartLeastSuperheat_K!) },
      }
    : { text: '; no restart has been seen', quantities: {} };
  return review.timeToShut_s !== null
    ? statement(`The valve shut in {time}${restart.text}.`, {
        time: quantity('duration', review.timeToShut_s),
        ...restart.quantities,
      })
    : statement(`The valve was shut${restart.text}.`, restart.quantities);
}

function hazardsOf(around: readonly CircuitAroundLoss[]): Hazard[] {
  const hazards: Hazard[] = ['charged-capacitor', 'live-parts', 'pressure'];
  for (const { refrigerant } of around) {
    const facts = refrigerantFacts(refrigerant);
    if (facts.flammable && !hazards.includes('flammable')) hazards.push('flammable');
    if (facts.toxic && !hazards.includes('toxic')) hazards.push('toxic');
  }
  return hazards;
}

function cautionOf(around: readonly CircuitAroundLoss[]): Statement {
  return statement(
    hazardsOf(around).includes('flammable')
      ? 'Before hands on it: circuit under pressure, flammable refrigerant, live parts and capacitors that stay charged; licensed people and local codes only.'
      : 'Before hands on it: circuit under pressure, live parts and capacitors that stay charged; licensed people and local codes only.',
  );
}

function findingsOf(
  module: ModuleEntry,
  entries: readonly CircuitEntry[],
  review: Bare,
  hazards: Hazard[],
): Finding[] {
  const findings: Finding[] = [];
  const at = quantity('instant', review.from_s);
  const lastSeen_s = review.to_s ?? review.from_s;
  const flooded = review.circuits.filter((c) => (c.restartUnderFloodback_s ?? 0) >= floodbackLasts_s);
  const checkModule = statement(
    'Before touching the module: isolate it, wait, and measure that the capacitors are discharged.',
  );
  if (review.shut === false) {
    const reasons: Statement[] = [verdictOf(review)];
    if (review.voltageBefore_V !== null && review.voltageAfter_V !== null)
      reasons.push(
        statement('Module voltage went from {before} to {after}.', {
          before: quantity('voltage', review.voltageBefore_V),
          after: quantity('voltage', review.voltageAfter_V),
        }),
      );
    for (const circuit of review.circuits) {
      if (circuit.pressureMet_s === null) continue;
      reasons.push(
        statement('High and low pressure of circuit {circuit} met within {time}.', {
          circuit: quantity('count', circuit.circuit),
          time: quantity('duration', circuit.pressureMet_s),
        }),
      );
    }
    findings.push(
      moduleFinding(module, {
        condition: 'did-not-shut',
        headline: statement('Valve did not shut at the power loss of {at}.', { at }),
        reasons,
        certainty: review.closingSent ? 'certain' : 'likely',
        urgency: 'today',
        score: 90,
        waiting: statement('At the next power loss refrigerant can drift through the open valve again.'),
        separatingCheck: statement(
          'Ask site for a self-test at standstill and see whether the valve ends shut.',
        ),
        visit: [statement('Check module, wiring and valve motor; see a closing end shut.'), checkModule],
        hazards,
        firstSeen_s: review.from_s,
        lastSeen_s,
      }),
    );
  }
  if (flooded.length > 0) {
    const worst = flooded.sort((a, b) => b.restartUnderFloodback_s! - a.restartUnderFloodback_s!)[0]!;
    const limit = entries.find((entry) => entry.number === worst.circuit)!.floodbackLimit_K;
    findings.push(
      moduleFinding(module, {
        condition: 'floodback-at-restart',
        headline: statement(
          'Liquid may have reached the compressor at the restart after the power loss of {at}.',
          {
            at,
          },
        ),
        reasons: [
          statement(
            'In the first ten minutes superheat of circuit {circuit} was under {limit} for {time}, at least {least}.',
            {
              circuit: quantity('count', worst.circuit),
              limit: quantity('temperature-difference', limit),
              time: quantity('duration', worst.restartUnderFloodback_s!),
              least: quantity('temperature-difference', worst.restartLeastSuperheat_K!),
            },
          ),
          review.shut === false
            ? statement('The valve had not shut.')
            : review.shut
              ? statement(
                  'The valve had shut, so the liquid came another way or the valve opened too far too soon.',
                )
              : statement('Whether the valve had shut is not known.'),
        ],
        certainty: 'likely',
        urgency: 'this-week',
        score: 65,
        waiting: statement('Each such restart thins the oil and can break the compressor.'),
        visit: [statement('Check oil level and oil condition, and crankcase heating.'), checkModule],
        hazards: [...hazards, 'rotating-parts'],
        firstSeen_s: worst.restartAt_s ?? review.from_s,
        lastSeen_s: worst.restartAt_s ?? lastSeen_s,
      }),
    );
  }
  return findings;
}
