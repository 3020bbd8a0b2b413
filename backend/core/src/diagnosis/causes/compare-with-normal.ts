import { prepareSeries } from '../../habits/prepare-series.js';
import type { Departure } from '../../normal/departures/departures.js';
import { judgePlateaus } from '../../normal/departures/judge-plateaus.js';
import { leastPlateaus, learnCircuitNormal } from '../../normal/learning/learn-normal.js';
import { findPlateaus } from '../../normal/plateaus/find-plateaus.js';
import { machineOf } from '../../normal/quantities/machine.js';
import type { NormalQuantity } from '../../normal/quantities/quantities.js';
import { circuitSeriesColumns, type CircuitSeries } from '../../telemetry/circuit-series.js';
import type { EvaporatorType } from '../../telemetry/registry.js';
import { asStated } from './stated-probability.js';
import { signaturesOf } from './weighing/signatures.js';
import { weighCausesOfDepartures, type WeighedCause } from './weigh-causes.js';

export interface NormalComparison {
  plateaus: {
    from_s: number;
    to_s: number;
    /** Combined distance from normal, as a share of its limit; null where nothing could be compared. */
    distance: number | null;
    /** False on 99 of 100 plateaus while nothing is wrong. */
    overLimit: boolean;
    departures: Partial<Record<NormalQuantity, Departure>>;
  }[];
  /** What explains the plateaus over the limit, likeliest first, with weights that add up to 1; empty where none is. */
  causes: Pick<WeighedCause, 'cause' | 'weight' | 'channel'>[];
  /** What the comparison is based on; null where there was too little normal running to learn from. */
  normal: { from_s: number; to_s: number; plateaus: number; quantities: NormalQuantity[] } | null;
  warnings: string[];
}

export interface LogsToCompare {
  series: CircuitSeries;
  /** The same machine while nothing was wrong. */
  normal: CircuitSeries;
  refrigerant: string;
  evaporator?: EvaporatorType;
  condenser?: 'air' | 'water';
}

/**
 * Compares a log with one of the same machine while nothing was wrong: plateau by plateau how far it is off, and what
 * would explain it.
 * @throws UnknownRefrigerantError.
 */
export function compareWithNormal(input: LogsToCompare): NormalComparison {
  const machine = machineOf(input);
  const learnedFrom = findPlateaus(evenly(input.normal), machine.refrigerant);
  const normal = learnCircuitNormal(machine, learnedFrom, signaturesOf);
  const plateaus = findPlateaus(evenly(input.series), machine.refrigerant);
  if (normal === null) {
    return {
      plateaus: plateaus.map(({ from_s, to_s }) => ({
        from_s,
        to_s,
        distance: null,
        overLimit: false,
        departures: {},
      })),
      causes: [],
      normal: null,
      warnings: [
        `The normal log has ${learnedFrom.length} plateaus of steady running; at least ${leastPlateaus} are needed to learn from.`,
      ],
    };
  }
  const judged = judgePlateaus(machine, normal, plateaus, true);
  const over = judged.filter(({ overLimit }) => overLimit).map(({ detail }) => detail);
  return {
    plateaus: judged.map(({ from_s, to_s, distance, overLimit, departures }) => ({
      from_s,
      to_s,
      distance,
      overLimit,
      departures,
    })),
    causes: shares(asStated(weighCausesOfDepartures(machine, normal, over))),
    normal: {
      from_s: normal.from_s,
      to_s: normal.to_s,
      plateaus: normal.plateaus,
      quantities: normal.order,
    },
    warnings:
      plateaus.length === 0 ? ['The log has no plateau of steady running: nothing could be compared.'] : [],
  };
}

/** Probabilities as shares that add up to 1, also where two causes are there at once. */
function shares(causes: readonly WeighedCause[]): NormalComparison['causes'] {
  const sum = causes.reduce((total, { weight }) => total + weight, 0);
  return causes.map(({ cause, weight, channel }) => ({
    cause,
    weight: weight / sum,
    ...(channel === undefined ? {} : { channel }),
  }));
}

/** A log of values sent on change, with most of its cells empty, read on an even grid; any other as it is. */
function evenly(series: CircuitSeries): CircuitSeries {
  const rows = series.time_s.length;
  const sparse = circuitSeriesColumns.some((name) => {
    const there = series[name].reduce((sum, value) => sum + (Number.isFinite(value) ? 1 : 0), 0);
    return there > 0 && there < 0.5 * rows;
  });
  return sparse ? prepareSeries(series).series : series;
}
