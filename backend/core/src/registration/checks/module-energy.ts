import { backupRuntime } from '../../backup/reserve/runtime.js';
import { circuitsOf, closingDemand } from '../../backup/closing/closing-energy.js';
import { quantity, statement } from '../../diagnosis/statement.js';
import type { CircuitEntry, ModuleEntry } from '../../telemetry/index.js';
import type { Doubt } from '../doubt.js';

/**
 * Doubts about a backup module: that new and at its rated voltage it holds less than one closing from fully open takes
 * (`closingDemand` against `backupRuntime`), and that the energy of a closing is not known.
 */
export function doubtsOfModule(
  module: ModuleEntry,
  circuits: readonly CircuitEntry[],
  field: string,
): Doubt[] {
  if (module.minimumVoltage_V >= module.ratedVoltage_V)
    return [
      {
        field: `${field}minimumVoltage_V`,
        refused: true,
        sentence: statement('The converter must work below the rated voltage, or no energy can be used.'),
      },
    ];
  const own = circuitsOf(module, circuits);
  const absent = module.circuits.find((number) => !circuits.some((entry) => entry.number === number));
  if (absent !== undefined || own.length === 0)
    return [
      {
        field: `${field}circuits`,
        refused: true,
        sentence: statement('A module shuts the valves of circuits that the unit has.'),
      },
    ];
  const unknown = own.find(
    ({ assumed }) => assumed?.includes('fullStroke_steps') || assumed?.includes('rate_steps_s'),
  );
  if (unknown !== undefined)
    return [
      {
        field: `circuits.${circuits.indexOf(unknown)}.fullStroke_steps`,
        refused: true,
        sentence: statement(
          'A backup module is judged by the energy of a closing, which needs the steps of the full stroke and the steps a second.',
        ),
      },
    ];
  const demand = closingDemand(module, circuits, 100);
  const { energy_J } = backupRuntime(
    {
      capacitance_F: module.ratedCapacitance_F,
      esr_Ohm: module.ratedEsr_Ohm,
      voltage_V: module.ratedVoltage_V,
      minimumVoltage_V: module.minimumVoltage_V,
    },
    demand.peakPower_W,
  );
  if (energy_J >= demand.energy_J) return [];
  return [
    {
      field: `${field}ratedCapacitance_F`,
      refused: false,
      sentence: statement(
        'New and fully charged this module delivers {usable}; shutting the valves from fully open takes {needed}.',
        { usable: quantity('energy', energy_J), needed: quantity('energy', demand.energy_J) },
      ),
    },
  ];
}
