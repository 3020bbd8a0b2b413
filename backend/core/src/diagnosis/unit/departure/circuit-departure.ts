import type { CircuitNormal } from '../../../normal/learning/circuit-normal.js';
import { departuresOf, type PlateauDepartures } from '../../../normal/departures/departures.js';
import { isOverLimit, type ComparedPlateau } from '../../../normal/departures/compare-plateaus.js';
import type { Plateau } from '../../../normal/plateaus/find-plateaus.js';
import type { Machine } from '../../../normal/quantities/machine.js';
import type { NormalQuantity } from '../../../normal/quantities/quantities.js';
import { refrigerantFacts } from '../../../refrigerants/index.js';
import { asStated } from '../../causes/stated-probability.js';
import { weighCausesOfDepartures } from '../../causes/weigh-causes.js';
import type { Finding, Hazard } from '../../finding.js';
import { departureSymptom } from './departure-symptom.js';
import { lastingDeparture } from './lasting-departure.js';

/** What burns or poisons in a refrigerant that leaks. */
export function leakHazards(refrigerant: string): Hazard[] {
  const { flammable, toxic } = refrigerantFacts(refrigerant);
  return [...(flammable ? (['flammable'] as const) : []), ...(toxic ? (['toxic'] as const) : [])];
}

/** A departure as a finding, with the plateaus that still depart. */
export interface CircuitDeparture {
  finding: Finding;
  over: PlateauDepartures[];
}

/** The finding that a circuit departs from its own normal, where its newest plateaus do; null where they do not. */
export function departureFinding(
  machine: Machine,
  normal: CircuitNormal,
  circuit: number,
  plateaus: readonly Plateau[],
  compared: readonly ComparedPlateau[],
): CircuitDeparture | null {
  const lasting = lastingDeparture(
    compared.map((one, k) => ({
      plateau: plateaus[k],
      from_s: one.from_s,
      overLimit: isOverLimit(one),
      departures: withZ(one.z),
    })),
  );
  if (lasting === null) return null;
  const over = lasting.over.map(({ plateau }) => {
    const detail = departuresOf(machine, normal, plateau);
    return { from_s: plateau.from_s, to_s: plateau.to_s, departures: detail.departures, detail };
  });
  const causes = asStated(
    weighCausesOfDepartures(
      machine,
      normal,
      over.map(({ detail }) => detail),
    ),
  );
  // That nothing is wrong but the season is likelier than all faults together.
  if (causes.some(({ ofCoolant = 0 }) => ofCoolant > 0.5)) return null;
  const finding = departureSymptom({
    circuit,
    normal,
    over,
    slow: lasting.slow,
    causes,
    hazards: leakHazards(machine.refrigerant),
  });
  return finding === null ? null : { finding, over: over.map(({ detail }) => detail) };
}

const withZ = (z: ComparedPlateau['z']): Partial<Record<NormalQuantity, { z: number }>> =>
  Object.fromEntries(Object.entries(z).map(([quantity, value]) => [quantity, { z: value }]));
