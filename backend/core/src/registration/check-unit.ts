import { statement } from '../diagnosis/statement.js';
import { refrigerantNames } from '../refrigerants/index.js';
import type { UnitEntry } from '../telemetry/index.js';
import { doubtsOfModule } from './checks/module-energy.js';
import { doubtsOfSpan } from './checks/pressure-range.js';
import { doubtsOfKv } from './checks/valve-capacity.js';
import type { UnitDraft } from './draft.js';
import type { Doubt } from './doubt.js';

/**
 * Everything about a draft that cannot be, or hardly can be, right. Of what is not known nothing is doubted.
 *
 * @param completed the same unit with its assumptions (`completeUnit`).
 */
export function checkUnit(draft: UnitDraft, completed: UnitEntry, altitude_m: number): Doubt[] {
  if (!refrigerantNames().includes(draft.refrigerant))
    return [
      {
        field: 'refrigerant',
        refused: true,
        sentence: statement('There is no property table of this refrigerant.'),
      },
    ];
  const { refrigerant } = draft;
  const circuits = draft.circuits.flatMap((circuit, i) => {
    const field = (name: string) => `circuits.${i}.${name}`;
    return [
      ...twice(draft.circuits, i, field('number')),
      ...(circuit.kv_m3_h === null
        ? []
        : doubtsOfKv(
            {
              refrigerant,
              kv_m3_h: circuit.kv_m3_h,
              motors: circuit.motors,
              capacity_W: draft.nominalCapacity_W / draft.circuits.length,
            },
            field('kv_m3_h'),
          )),
      ...(['suction', 'discharge'] as const).flatMap((side) =>
        doubtsOfSpan(
          {
            ...{ refrigerant, side, altitude_m },
            reference: circuit[`${side}Reference`],
            minimum_Pa: circuit[`${side}Minimum_Pa`],
            maximum_Pa: circuit[`${side}Maximum_Pa`],
          },
          { minimum: field(`${side}Minimum_Pa`), maximum: field(`${side}Maximum_Pa`) },
        ),
      ),
    ];
  });
  const modules = completed.modules.flatMap((module, i) => [
    ...twice(draft.modules, i, `modules.${i}.number`),
    ...doubtsOfModule(module, completed.circuits, `modules.${i}.`),
  ]);
  return [...circuits, ...modules];
}

/** The same number a second time. */
const twice = (all: readonly { number: number }[], i: number, field: string): Doubt[] =>
  all.findIndex(({ number }) => number === all[i].number) === i
    ? []
    : [{ field, refused: true, sentence: statement('This number is there twice.') }];
