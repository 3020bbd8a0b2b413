import { notJudgedOn, type NotJudged, type SensorVerdict } from '@coldrounds/core';
import type { Fleet, FleetCircuit, FleetUnit } from '../registry/fleet.js';
import type { CircuitFigures } from '../storage/repositories/study.repository.js';
import { cohorts, distribution } from './quantiles.js';
import { circuitMeasures, type CircuitGroup, type CircuitMeasure, type CircuitOrder } from './queries.js';

/** The figures of one circuit; null where they rest on a measurement found wrong. */
export type CircuitRow = Omit<CircuitFigures, 'circuitId'> & {
  site: string;
  unit: string;
  circuit: number;
  cohort: string;
  leftOut: 'none' | 'level' | 'level-and-swings';
};

const cohortOf: Record<CircuitGroup, (unit: FleetUnit, circuit: FleetCircuit) => string> = {
  'valve-size': (_unit, { entry }) => entry.valve.size,
  refrigerant: (unit) => unit.refrigerant,
  firmware: (unit) => unit.controllerFirmware,
  climate: (unit) => unit.site.climate,
};

/** Less steady running than this says nothing of a circuit. Judgement, no source. */
export const leastSteady_min = 60;

/** Circuits with enough steady running, without the figures that rest on a measurement found wrong. */
export function studiedCircuits(
  { units }: Fleet,
  figures: ReadonlyMap<number, CircuitFigures>,
  verdicts: readonly (SensorVerdict & { unitId: number })[],
  group: CircuitGroup,
): CircuitRow[] {
  const byUnit = new Map<number, SensorVerdict[]>();
  for (const verdict of verdicts) {
    const own = byUnit.get(verdict.unitId);
    if (own === undefined) byUnit.set(verdict.unitId, [verdict]);
    else own.push(verdict);
  }
  return units.flatMap((unit) =>
    unit.circuits.flatMap((circuit): CircuitRow[] => {
      const found = figures.get(circuit.id);
      if (found === undefined) return [];
      const { circuitId: _circuitId, ...own } = found;
      return [
        {
          site: unit.site.key,
          unit: unit.key,
          circuit: circuit.number,
          cohort: cohortOf[group](unit, circuit),
          ...withoutWrongMeasurements(own, notJudgedOn(byUnit.get(unit.id) ?? [], circuit.number, 'as-read')),
        },
      ];
    }),
  );
}

/** Each cohort with the distribution of every measure over its circuits. */
export const circuitCohorts = (circuits: readonly CircuitRow[]) =>
  cohorts(circuits).map(([cohort, members]) => ({
    cohort,
    circuits: members.length,
    ...(Object.fromEntries(
      circuitMeasures.map((measure) => [measure, distribution(members.map((row) => row[measure]))]),
    ) as Record<CircuitMeasure, ReturnType<typeof distribution>>),
  }));

/** In one of the orders; circuits without the figure come last either way, equals in the order of their names. */
export function sortedCircuits(
  circuits: readonly CircuitRow[],
  by: CircuitOrder,
  descending: boolean,
): CircuitRow[] {
  if (by === 'circuit') return descending ? [...circuits].reverse() : [...circuits];
  const sign = descending ? -1 : 1;
  return [...circuits].sort((a, b) => {
    if (by === 'cohort') return sign * a.cohort.localeCompare(b.cohort, 'en', { numeric: true });
    const [first, second] = [a[by], b[by]];
    if (first === null || second === null) return Number(first === null) - Number(second === null);
    return sign * (first - second);
  });
}

/** The figures of a circuit without those that depend on a measurement found wrong. */
function withoutWrongMeasurements(
  figures: Omit<CircuitFigures, 'circuitId'>,
  { superheatLevel, superheatSwing }: NotJudged,
): Omit<CircuitFigures, 'circuitId'> & Pick<CircuitRow, 'leftOut'> {
  return {
    ...figures,
    ...(superheatLevel ? { superheatMean_K: null, floodbackFraction: null } : {}),
    ...(superheatSwing ? { superheatSpread_K: null, huntingFraction: null } : {}),
    leftOut: superheatSwing ? 'level-and-swings' : superheatLevel ? 'level' : 'none',
  };
}
