import { describe, expect, it } from 'vitest';
import { saturationPressure } from '../refrigerants/index.js';
import { celsiusToKelvin } from '../units/index.js';
import { classB_K, spanHolding, standing_K } from './assumptions.js';
import { checkUnit } from './check-unit.js';
import { openCapacity_W, usualPoint } from './checks/valve-capacity.js';
import { completeUnit } from './complete-unit.js';
import { draftOf } from './draft-of.js';
import { emptyCircuitDraft, type ModuleDraft, type UnitDraft } from './draft.js';
import { whatIsMissing } from './what-is-missing.js';

const draft = (given: Partial<UnitDraft> = {}): UnitDraft => ({
  key: 'chiller-1',
  name: 'Chiller 1',
  refrigerant: 'R134a',
  nominalCapacity_W: 120e3,
  condenser: 'water',
  evaporator: 'dry-expansion',
  reversible: false,
  reporting: null,
  commissionedOn: null,
  controllerFirmware: null,
  circuits: [emptyCircuitDraft(1, 'gauge')],
  modules: [],
  ...given,
});
const withCircuit = (values: Partial<UnitDraft['circuits'][number]>) =>
  draft({ circuits: [{ ...emptyCircuitDraft(1, 'gauge'), ...values }] });
const fieldsOf = (given: UnitDraft, altitude_m = 0) =>
  checkUnit(given, completeUnit(given, null, '2026-01-01'), altitude_m).map(({ field, refused }) =>
    refused ? `${field} refused` : field,
  );
/** Of one valve of 3800 steps at 630/s with 10 % overdrive and 9 W: 59.7 J by hand, 3800 * 1.1 / 630 * 9. */
const module: ModuleDraft = {
  number: 1,
  circuits: [1],
  ratedVoltage_V: 20,
  minimumVoltage_V: 9,
  ratedCapacitance_F: 1.4,
  drivePower_W: 9,
  cellsInSeries: 8,
  ratedEsr_Ohm: 0.27,
  overdrive_pct: 10,
  installedOn: '2021-05-03',
};
const driven = { fullStroke_steps: 3800, rate_steps_s: 630 };

describe('what is assumed of a unit', () => {
  it('is the tolerance of class B (IEC 60751: 0.3 K at 0 C, 0.8 K at 100 C)', () => {
    expect(classB_K(0)).toBeCloseTo(0.3, 9);
    expect(classB_K(100)).toBeCloseTo(0.8, 9);
    expect(classB_K(-200)).toBeCloseTo(1.3, 9);
  });

  it('is a span that holds the standing pressure: 10 bar gauge for R134a at 40 C, 10.17 bar absolute (CoolProp 8.0.0)', () => {
    expect(saturationPressure('R134a', standing_K, 'bubble') / 1e5).toBeCloseTo(10.17, 1);
    expect(spanHolding('R134a', standing_K, 'gauge')).toBe(10e5);
    expect(spanHolding('R134a', standing_K, 'absolute')).toBe(12e5);
  });

  it('is noted, and comes back as not known', () => {
    const given = draft();
    const completed = completeUnit(given, null, '2026-01-01');
    expect(completed.assumed).toEqual(['commissionedOn', 'controllerFirmware']);
    expect(completed.circuits[0].valve.kv_m3_h).toBe(0);
    expect(draftOf(completed, completed.assumed)).toEqual(given);
  });

  it('is nothing where all is said, and what a draft cannot say is kept', () => {
    const all = draft({
      commissionedOn: '2020-01-01',
      controllerFirmware: '2.1',
      circuits: [
        {
          ...emptyCircuitDraft(1, 'absolute'),
          ...{ suctionMinimum_Pa: 0, suctionMaximum_Pa: 10e5, suctionTolerance_Pa: 5e3 },
          ...{ dischargeMinimum_Pa: 0, dischargeMaximum_Pa: 25e5, dischargeTolerance_Pa: 1e4 },
          ...{ suctionTemperatureTolerance_K: 0.3, valveSize: 'small', kv_m3_h: 1.2, ...driven },
          ...{ refrigerantCharge_kg: 30, floodbackLimit_K: 2.5, safetyMargin_K: 1.5 },
        },
      ],
      modules: [module],
    });
    const first = completeUnit(all, null, '2026-01-01');
    expect(whatIsMissing(first)).toEqual([]);
    const registered = {
      ...first,
      circuits: [{ ...first.circuits[0], compressor: { kind: 'screw' as const } }],
    };
    expect(completeUnit(all, registered, '2026-01-01').circuits[0].compressor).toEqual({ kind: 'screw' });
    expect(draftOf(first, first.assumed)).toEqual(all);
  });

  it('says what each unknown fact costs', () => {
    const missing = whatIsMissing(completeUnit(draft(), null, '2026-01-01'));
    const about = (field: string) => missing.find(({ fields }) => fields.includes(field))?.cost;
    expect(about('circuits.0.kv_m3_h')).toContain('size of the valve');
    expect(about('circuits.0.fullStroke_steps')).toContain('backup module');
    expect(about('modules')).toContain('shut when power fails');
    expect(about('commissionedOn')).toContain('rated life');
  });
});

describe('the check of a Kv', () => {
  it('takes a Kv of 1 to carry 123 kW of R134a at 3 and 42 C (COMPUTED, CoolProp 8.0.0)', () => {
    expect(openCapacity_W('R134a', 1, usualPoint) / 123e3).toBeCloseTo(1, 1);
  });

  it('doubts one that cannot carry the capacity, and one that would hardly open', () => {
    expect(fieldsOf(withCircuit({ kv_m3_h: 1.2 }))).toEqual([]);
    expect(fieldsOf(withCircuit({ kv_m3_h: 0.5 }))).toEqual(['circuits.0.kv_m3_h']);
    expect(fieldsOf(withCircuit({ kv_m3_h: 0.6, motors: 2 }))).toEqual([]);
    expect(fieldsOf(withCircuit({ kv_m3_h: 30 }))).toEqual(['circuits.0.kv_m3_h']);
  });
});

describe('the check of a span', () => {
  it('doubts a suction transducer to 4 bar gauge on R134a, and takes one to 7 (5.72 bar absolute at 20 C, CoolProp 8.0.0)', () => {
    expect(saturationPressure('R134a', celsiusToKelvin(20), 'bubble') / 1e5).toBeCloseTo(5.72, 1);
    expect(fieldsOf(withCircuit({ suctionMaximum_Pa: 4e5 }))).toEqual(['circuits.0.suctionMaximum_Pa']);
    expect(fieldsOf(withCircuit({ suctionMaximum_Pa: 7e5 }))).toEqual([]);
  });

  it('doubts a discharge transducer that cannot hold condensing at 50 C', () => {
    expect(fieldsOf(withCircuit({ dischargeMaximum_Pa: 10e5 }))).toEqual(['circuits.0.dischargeMaximum_Pa']);
    expect(fieldsOf(withCircuit({ dischargeMaximum_Pa: 25e5 }))).toEqual([]);
  });

  it('refuses ends that cannot be', () => {
    expect(fieldsOf(withCircuit({ suctionMinimum_Pa: -3e5 }))).toEqual([
      'circuits.0.suctionMinimum_Pa refused',
    ]);
    expect(fieldsOf(withCircuit({ suctionReference: 'absolute', suctionMinimum_Pa: -1e5 }))).toEqual([
      'circuits.0.suctionMinimum_Pa refused',
    ]);
    expect(fieldsOf(withCircuit({ suctionMinimum_Pa: 9e5, suctionMaximum_Pa: 8e5 }))).toEqual([
      'circuits.0.suctionMaximum_Pa refused',
    ]);
  });
});

describe('the check of a backup module', () => {
  const withModule = (values: Partial<ModuleDraft>, circuit = driven) =>
    ({ ...withCircuit(circuit), modules: [{ ...module, ...values }] }) satisfies UnitDraft;

  it('takes 1.4 F at 20 V for 59.7 J of closing, and doubts 0.3 F (0.5 C (20² − 9²): 223 and 48 J)', () => {
    expect(fieldsOf(withModule({}))).toEqual([]);
    expect(fieldsOf(withModule({ ratedCapacitance_F: 0.3 }))).toEqual(['modules.0.ratedCapacitance_F']);
  });

  it('refuses a module of a valve whose stroke is not known, of a circuit that is not there, or without usable voltage', () => {
    expect(fieldsOf(withModule({}, { fullStroke_steps: null, rate_steps_s: null } as never))).toEqual([
      'circuits.0.fullStroke_steps refused',
    ]);
    expect(fieldsOf(withModule({ circuits: [2] }))).toEqual(['modules.0.circuits refused']);
    expect(fieldsOf(withModule({ minimumVoltage_V: 20 }))).toEqual(['modules.0.minimumVoltage_V refused']);
  });
});

it('refuses a refrigerant without a property table, and the same circuit twice', () => {
  expect(
    fieldsOf(draft({ refrigerant: 'R134a', circuits: [1, 1].map((n) => emptyCircuitDraft(n, 'gauge')) })),
  ).toEqual(['circuits.1.number refused']);
  expect(() => completeUnit(draft({ refrigerant: 'R999' }), null, '2026-01-01')).toThrow(/R999/);
});
