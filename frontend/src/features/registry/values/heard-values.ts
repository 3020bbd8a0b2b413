import type { HeardUnit } from '../../../api/registry/registry.js';
import { emptyCircuit, type UnitValues } from './unit-values.js';
import { capitalised } from '../../../quantities/capitalised.js';

/** `chiller-1` as a person may write it: `Chiller 1`. */
export const nameOf = (key: string): string => capitalised(key).replaceAll('-', ' ');

/** What the traffic of a sender tells of its unit, as the form has it. */
export function valuesHeard({ unit, told }: HeardUnit): Partial<UnitValues> {
  const circuits = told.circuits.length > 0 ? told.circuits : [1];
  return {
    key: unit,
    name: nameOf(unit),
    condenser: told.airCooled ? 'air' : '',
    circuits: circuits.map((number) => ({
      ...emptyCircuit(number, told.gauge ? 'gauge' : ''),
      motors: told.tandemCircuits.includes(number) ? (2 as const) : (1 as const),
    })),
  };
}
