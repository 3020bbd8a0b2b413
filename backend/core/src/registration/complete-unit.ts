import type { CircuitEntry, ModuleEntry, PressureTransducerEntry, UnitEntry } from '../telemetry/index.js';
import {
  assumedModule,
  assumedStroke,
  condensing_K,
  lowestPressure_Pa,
  pressureTolerance,
  spanHolding,
  standing_K,
  superheatLimits,
  temperatureSensors,
} from './assumptions.js';
import type { CircuitDraft, ModuleDraft, UnitDraft } from './draft.js';

/** Said where a word is asked for and none is known. */
export const notKnown = 'not known';

/** A unit with everything filled in, and which of it is assumed (`assumed` of the unit, of each circuit and of each module). */
export type CompletedUnit = UnitEntry & { assumed: string[] };

/** Takes what is known, else what is assumed, and notes which. */
class Assuming {
  readonly assumed: string[] = [];
  take<Value>(field: string, known: Value | null, otherwise: Value): Value {
    if (known !== null) return known;
    this.assumed.push(field);
    return otherwise;
  }
}

/**
 * Fills in what a draft leaves open with stated assumptions. What a draft cannot say (spans of thermometers, the valve's
 * rated life, the compressor) is kept from the entry that it changes.
 *
 * @param before the unit as registered so far; null where it is new.
 * @param today ISO date that stands for a module's unknown day of installation.
 */
export function completeUnit(draft: UnitDraft, before: UnitEntry | null, today: string): CompletedUnit {
  const unit = new Assuming();
  const circuitBefore = (number: number) => before?.circuits.find((entry) => entry.number === number);
  const moduleBefore = (number: number) => before?.modules.find((entry) => entry.number === number);
  return {
    key: draft.key,
    name: draft.name,
    refrigerant: draft.refrigerant,
    nominalCapacity_W: draft.nominalCapacity_W,
    condenser: draft.condenser,
    evaporator: draft.evaporator,
    reversible: draft.reversible,
    reporting: draft.reporting ?? undefined,
    sparkplug: before?.sparkplug,
    commissionedOn: draft.commissionedOn,
    controllerFirmware: unit.take('controllerFirmware', draft.controllerFirmware, notKnown),
    circuits: draft.circuits.map((circuit) =>
      completeCircuit(circuit, draft.refrigerant, circuitBefore(circuit.number)),
    ),
    modules: draft.modules.map((module) =>
      completeModule(module, draft.commissionedOn ?? today, moduleBefore(module.number)),
    ),
    assumed: [...(draft.commissionedOn === null ? ['commissionedOn'] : []), ...unit.assumed],
  };
}

function completeCircuit(
  draft: CircuitDraft,
  refrigerant: string,
  before: CircuitEntry | undefined,
): CircuitEntry {
  const given = new Assuming();
  const transducer = (side: 'suction' | 'discharge', warmest_K: number): PressureTransducerEntry => {
    const reference = draft[`${side}Reference`];
    const minimum = given.take(`${side}Minimum_Pa`, draft[`${side}Minimum_Pa`], lowestPressure_Pa(reference));
    const maximum = given.take(
      `${side}Maximum_Pa`,
      draft[`${side}Maximum_Pa`],
      spanHolding(refrigerant, warmest_K, reference),
    );
    const tolerance = given.take(
      `${side}Tolerance_Pa`,
      draft[`${side}Tolerance_Pa`],
      pressureTolerance * (maximum - minimum),
    );
    return { minimum, maximum, tolerance, reference };
  };
  const entry: CircuitEntry = {
    ...{ number: draft.number, compressor: before?.compressor },
    valve: {
      size: given.take(
        'valveSize',
        draft.valveSize,
        draft.kv_m3_h === null ? notKnown : `kv-${draft.kv_m3_h}`,
      ),
      // 0 stands for a Kv that is not known, all through the analysis.
      kv_m3_h: given.take('kv_m3_h', draft.kv_m3_h, 0),
      fullStroke_steps: given.take(
        'fullStroke_steps',
        draft.fullStroke_steps,
        assumedStroke.fullStroke_steps,
      ),
      rate_steps_s: given.take('rate_steps_s', draft.rate_steps_s, assumedStroke.rate_steps_s),
      motors: draft.motors,
      ratedLife: before?.valve.ratedLife,
    },
    suctionPressure: transducer('suction', standing_K),
    dischargePressure: transducer('discharge', condensing_K),
    suctionTemperature: {
      ...(before?.suctionTemperature ?? temperatureSensors.suction),
      tolerance: given.take(
        'suctionTemperatureTolerance_K',
        draft.suctionTemperatureTolerance_K,
        temperatureSensors.suction.tolerance,
      ),
    },
    dischargeTemperature: before?.dischargeTemperature ?? temperatureSensors.discharge,
    liquidTemperature: before?.liquidTemperature ?? temperatureSensors.liquid,
    floodbackLimit_K: given.take(
      'floodbackLimit_K',
      draft.floodbackLimit_K,
      superheatLimits.floodbackLimit_K,
    ),
    safetyMargin_K: given.take('safetyMargin_K', draft.safetyMargin_K, superheatLimits.safetyMargin_K),
    refrigerantCharge_kg: draft.refrigerantCharge_kg ?? undefined,
  };
  if (draft.refrigerantCharge_kg === null) given.assumed.push('refrigerantCharge_kg');
  return { ...entry, assumed: given.assumed };
}

function completeModule(draft: ModuleDraft, since: string, before: ModuleEntry | undefined): ModuleEntry {
  const given = new Assuming();
  const { cell_V, timeConstant_s, overdrive_pct } = assumedModule;
  const installedBefore = before?.assumed?.includes('installedOn') ? before.installedOn : since;
  return {
    number: draft.number,
    circuits: draft.circuits,
    ratedVoltage_V: draft.ratedVoltage_V,
    minimumVoltage_V: draft.minimumVoltage_V,
    ratedCapacitance_F: draft.ratedCapacitance_F,
    drivePower_W: draft.drivePower_W,
    cellsInSeries: given.take(
      'cellsInSeries',
      draft.cellsInSeries,
      Math.max(1, Math.ceil(draft.ratedVoltage_V / cell_V - 1e-9)),
    ),
    ratedEsr_Ohm: given.take('ratedEsr_Ohm', draft.ratedEsr_Ohm, timeConstant_s / draft.ratedCapacitance_F),
    overdrive_pct: given.take('overdrive_pct', draft.overdrive_pct, overdrive_pct),
    installedOn: given.take('installedOn', draft.installedOn, installedBefore),
    assumed: given.assumed,
  };
}
