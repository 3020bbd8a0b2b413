import type { CircuitEntry, CircuitSeries } from '../../telemetry/index.js';
import { circuitsOf, shutOpening_pct, failedToShut } from '../closing/index.js';
import { hazardsOf } from '../findings/index.js';
import type { PowerLoss } from '../resting/index.js';
import { floodbackLasts_s, lossFindings } from './power-loss-findings.js';
import type {
  CircuitAroundLoss,
  CircuitLossReview,
  PowerLossReview,
  ReviewPowerLossInput,
} from './power-loss-review.js';
import { cautionOf, verdictOf, type LossFacts } from './power-loss-verdict.js';
import { greatestPassed_kg } from './refrigerant-passed.js';
import { restartFigures, restartOf } from './restart.js';

/** The last value this long before the loss, or less, counts as that at the loss, s. */
const before_s = 300;
const contactEvery_s = 60;
/** High and low pressure count as equal below this fraction of their first difference. */
const metFraction = 0.05;

/**
 * What one loss of mains did: opening at the moment, closing, pressures afterwards, the most refrigerant that can have
 * passed, and the restart. What the telemetry does not show is `null`, and the verdict says so.
 */
export function reviewPowerLoss(input: ReviewPowerLossInput): PowerLossReview {
  const { module, loss, closing, around } = input;
  const judgement = closing?.judgement ?? null;
  const own = circuitsOf(module, input.circuits);
  // The contact is read once a minute: without a closing, the mains may have been gone that long when first seen gone.
  const began_s = Math.min(
    judgement?.startedAt_s ?? Infinity,
    loss.from_s - (judgement ? 0 : contactEvery_s),
  );
  const circuits = own.map((entry) => {
    const seen = around.find((each) => each.circuit === entry.number) ?? null;
    return reviewCircuit(entry, seen, loss, began_s, judgement?.openingAfter_pct ?? null);
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
  const review: LossFacts = {
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
  const refrigerants = around.map(({ refrigerant }) => refrigerant);
  return {
    ...review,
    verdict: verdictOf(review),
    caution: cautionOf(refrigerants),
    findings: lossFindings(
      module,
      own,
      review,
      hazardsOf(refrigerants),
      // A failed closing is reported by the module's own assessment for as long as no proof follows it.
      (judgement !== null && failedToShut(judgement)) || (input.lastProof_s ?? -Infinity) > loss.from_s,
    ),
  };
}

function reviewCircuit(
  entry: CircuitEntry,
  seen: CircuitAroundLoss | null,
  loss: PowerLoss,
  began_s: number,
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
    wholeChargeCanHavePassed: false,
    restartAt_s: null,
    restartLeastSuperheat_K: null,
    restartUnderFloodback_s: null,
  };
  if (!seen) return nothing;
  const { series } = seen;
  const openingBefore_pct = lastBefore(series, series.valveOpening_pct, began_s);
  const suctionPressureBefore_Pa = lastBefore(series, series.suctionPressure_Pa, began_s);
  const dischargePressureBefore_Pa = lastBefore(series, series.dischargePressure_Pa, began_s);
  // A minute is enough for any closing; what the valve shows then, and until the restart, is where it stayed.
  const restartAt_s = restartOf(series, loss);
  const until_s = restartAt_s ?? loss.to_s ?? Infinity;
  const openingAfter_pct =
    closedTo_pct ?? firstWithin(series, series.valveOpening_pct, loss.from_s + 60, until_s);
  const pressures = pressureDecay(
    series,
    began_s,
    until_s,
    suctionPressureBefore_Pa,
    dischargePressureBefore_Pa,
  );
  const throughOrifice_kg = greatestPassed_kg(
    entry,
    seen,
    began_s,
    until_s,
    openingAfter_pct === null
      ? openingBefore_pct
      : openingAfter_pct <= shutOpening_pct
        ? 0
        : openingAfter_pct,
    suctionPressureBefore_Pa,
  );
  // While nothing runs, refrigerant flows one way only: no more than the charge can pass.
  const charge_kg = entry.refrigerantCharge_kg ?? Infinity;
  return {
    ...nothing,
    openingBefore_pct,
    openingAfter_pct,
    suctionPressureBefore_Pa,
    dischargePressureBefore_Pa,
    pressureHalved_s: pressures.halved_s,
    pressureMet_s: pressures.met_s,
    refrigerantPassedAtMost_kg: throughOrifice_kg === null ? null : Math.min(throughOrifice_kg, charge_kg),
    wholeChargeCanHavePassed: throughOrifice_kg !== null && throughOrifice_kg >= charge_kg,
    restartAt_s,
    ...restartFigures(entry, seen, restartAt_s),
  };
}

function pressureDecay(
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
    if (now <= metFraction * first) {
      met_s = t - from_s;
      break;
    }
  }
  return { halved_s, met_s };
}

function lastBefore(series: CircuitSeries, column: Float64Array, at_s: number): number | null {
  let found: number | null = null;
  for (let i = 0; i < series.time_s.length && series.time_s[i]! < at_s; i++) {
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
