import { evaporatorOf, type CircuitEntry, type ModuleEntry, type UnitEntry } from '../telemetry/index.js';
import type { CircuitDraft, ModuleDraft, UnitDraft } from './draft.js';

/** What is registered, with what is only assumed as not known: what a form shows, and a table holds. */
export function draftOf(unit: UnitEntry, assumed: readonly string[] = []): UnitDraft {
  return {
    key: unit.key,
    name: unit.name,
    refrigerant: unit.refrigerant,
    nominalCapacity_W: unit.nominalCapacity_W,
    condenser: unit.condenser,
    evaporator: evaporatorOf(unit),
    reversible: unit.reversible ?? false,
    reporting: unit.reporting ?? null,
    commissionedOn: unit.commissionedOn,
    controllerFirmware: assumed.includes('controllerFirmware') ? null : unit.controllerFirmware,
    circuits: unit.circuits.map(circuitDraftOf),
    modules: unit.modules.map(moduleDraftOf),
  };
}

const knownOf =
  (assumed: readonly string[] | undefined) =>
  <Value>(field: string, value: Value): Value | null =>
    assumed?.includes(field) ? null : value;

function circuitDraftOf(entry: CircuitEntry): CircuitDraft {
  const known = knownOf(entry.assumed);
  const { valve, suctionPressure: suction, dischargePressure: discharge } = entry;
  return {
    number: entry.number,
    suctionReference: suction.reference,
    dischargeReference: discharge.reference,
    suctionMinimum_Pa: known('suctionMinimum_Pa', suction.minimum),
    suctionMaximum_Pa: known('suctionMaximum_Pa', suction.maximum),
    suctionTolerance_Pa: known('suctionTolerance_Pa', suction.tolerance),
    dischargeMinimum_Pa: known('dischargeMinimum_Pa', discharge.minimum),
    dischargeMaximum_Pa: known('dischargeMaximum_Pa', discharge.maximum),
    dischargeTolerance_Pa: known('dischargeTolerance_Pa', discharge.tolerance),
    suctionTemperatureTolerance_K: known('suctionTemperatureTolerance_K', entry.suctionTemperature.tolerance),
    valveSize: known('valveSize', valve.size),
    kv_m3_h: valve.kv_m3_h > 0 ? known('kv_m3_h', valve.kv_m3_h) : null,
    motors: valve.motors,
    fullStroke_steps: known('fullStroke_steps', valve.fullStroke_steps),
    rate_steps_s: known('rate_steps_s', valve.rate_steps_s),
    refrigerantCharge_kg: entry.refrigerantCharge_kg ?? null,
    floodbackLimit_K: known('floodbackLimit_K', entry.floodbackLimit_K),
    safetyMargin_K: known('safetyMargin_K', entry.safetyMargin_K),
  };
}

function moduleDraftOf(entry: ModuleEntry): ModuleDraft {
  const known = knownOf(entry.assumed);
  return {
    number: entry.number,
    circuits: entry.circuits,
    ratedVoltage_V: entry.ratedVoltage_V,
    minimumVoltage_V: entry.minimumVoltage_V,
    ratedCapacitance_F: entry.ratedCapacitance_F,
    drivePower_W: entry.drivePower_W,
    cellsInSeries: known('cellsInSeries', entry.cellsInSeries),
    ratedEsr_Ohm: known('ratedEsr_Ohm', entry.ratedEsr_Ohm),
    overdrive_pct: known('overdrive_pct', entry.overdrive_pct),
    installedOn: known('installedOn', entry.installedOn),
  };
}
