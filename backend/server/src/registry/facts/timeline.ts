import { sameEntry } from '../changing/same-entry.js';
import type { CircuitFacts, FactsTimeline, FleetCircuit, FleetUnit } from '../../storage/fleet.js';

export const factsOf = (unit: FleetUnit, circuit: Pick<FleetCircuit, 'entry'>): CircuitFacts => ({
  refrigerant: unit.refrigerant,
  evaporator: unit.evaporator,
  reversible: unit.reversible,
  reporting: unit.reporting,
  altitude_m: unit.site.altitude_m,
  entry: circuit.entry,
});

/** What held at a moment. */
export function factsAt(timeline: FactsTimeline, at_s: number): CircuitFacts {
  const held = timeline.find(({ until_s }) => until_s === null || at_s < until_s);
  return (held ?? timeline[timeline.length - 1]).facts;
}

/**
 * The timeline after a change that holds from a moment on, whatever was said of the time after it; null: always.
 * @example changedFrom([{ until_s: null, facts: old }], new, 100) // old until 100, then new
 */
export function changedFrom(
  timeline: FactsTimeline,
  facts: CircuitFacts,
  from_s: number | null,
): FactsTimeline {
  if (from_s === null) return [{ until_s: null, facts }];
  const earlier = timeline.filter(({ until_s }) => until_s !== null && until_s < from_s);
  const lastBefore = timeline.find(({ until_s }) => until_s === null || until_s >= from_s)!.facts;
  return [...earlier, { until_s: from_s, facts: lastBefore }, { until_s: null, facts }];
}

/** One timeline before a moment, another from it on. */
export function joinedAt(until: FactsTimeline, from: FactsTimeline, at_s: number): FactsTimeline {
  return [
    ...until.filter(({ until_s }) => until_s !== null && until_s < at_s),
    { until_s: at_s, facts: factsAt(until, at_s - 1e-3) },
    ...from.filter(({ until_s }) => until_s === null || until_s > at_s),
  ];
}

/** A unit and a circuit as they were by other facts than today's. */
export function asOf(
  unit: FleetUnit,
  circuit: FleetCircuit,
  { entry, altitude_m, ...facts }: CircuitFacts,
): { unit: FleetUnit; circuit: FleetCircuit } {
  return {
    unit: { ...unit, ...facts, site: { ...unit.site, altitude_m } },
    circuit: { ...circuit, entry },
  };
}

/** Whether a circuit is judged the same by both; what is only noted as assumed changes no judgement. */
export const sameJudged = (a: CircuitFacts, b: CircuitFacts): boolean =>
  sameEntry({ ...a, entry: { ...a.entry, assumed: null } }, { ...b, entry: { ...b.entry, assumed: null } });

/** Whether readings are converted the same by both. */
export const sameConverted = (a: CircuitFacts, b: CircuitFacts): boolean =>
  a.refrigerant === b.refrigerant &&
  a.altitude_m === b.altitude_m &&
  a.entry.suctionPressure.reference === b.entry.suctionPressure.reference &&
  a.entry.dischargePressure.reference === b.entry.dischargePressure.reference;
