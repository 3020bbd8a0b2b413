import { describe, expect, it } from 'vitest';
import type { UnitDraft } from '../../../api/registry/registry.js';
import { siOf, textOf } from './kinds.js';
import { draftOf, emptyCircuit, emptyModule, emptyUnit, keyOf, valuesOf } from './unit-values.js';

const typed = () => ({
  ...emptyUnit(),
  ...{ name: 'Roof, chiller 2', refrigerant: 'R134a', condenser: 'air' as const, capacity: '250' },
  circuits: [emptyCircuit(1, 'gauge')],
});
const made = (values = typed()) => draftOf(values, 'si', null) as UnitDraft;

describe('typed numbers', () => {
  it('are taken in the reader’s unit, with a decimal comma or point', () => {
    expect(siOf('2,5', 'pressure', 'si')).toBe(250_000);
    expect(siOf('100', 'pressure', 'inch-pound')).toBeCloseTo(689_475.73, 1); // 6894.757 Pa, NIST SP 811
    expect(siOf('100', 'capacity', 'inch-pound')).toBeCloseTo(351_685.28, 1);
    expect(siOf('', 'mass', 'si')).toBeNull();
    expect(siOf('a lot', 'mass', 'si')).toBeNaN();
  });

  it('are shown without zeros at the end', () => {
    expect(textOf(1.2e6, 'pressure', 'si')).toBe('12');
    expect(textOf(null, 'pressure', 'si')).toBe('');
  });
});

describe('the form of a unit', () => {
  it('asks for name, refrigerant, capacity, condenser and what transducers read, and for nothing else', () => {
    const draft = made();
    expect(draft).toMatchObject({ key: 'roof-chiller-2', nominalCapacity_W: 250_000, commissionedOn: null });
    expect(draft.circuits[0]).toMatchObject({ suctionReference: 'gauge', kv_m3_h: null });
    expect(draftOf({ ...typed(), name: ' ' }, 'si', null)).toContain('name');
    expect(draftOf({ ...typed(), refrigerant: '' }, 'si', null)).toContain('refrigerant');
    expect(draftOf({ ...typed(), capacity: 'large' }, 'si', null)).toContain('capacity');
    expect(draftOf({ ...typed(), circuits: [emptyCircuit(1, '')] }, 'si', null)).toContain(
      'gauge or absolute',
    );
  });

  it('leaves a figure that was not touched exactly as it was, in either unit system', () => {
    const before: UnitDraft = { ...made(), nominalCapacity_W: 247_321.7 };
    before.circuits[0] = { ...before.circuits[0], suctionMaximum_Pa: 1_213_333, kv_m3_h: 3.123456789 };
    expect(draftOf(valuesOf(before, 'inch-pound'), 'inch-pound', before)).toEqual(before);
    expect(draftOf(valuesOf(before, 'si'), 'si', before)).toEqual(before);
  });

  it('says which figure of which module is missing', () => {
    const values = { ...typed(), modules: [emptyModule(1, [1])] };
    expect(draftOf(values, 'si', null)).toBe('Backup module 1: "Rated voltage" is missing.');
    expect(draftOf({ ...typed(), modules: [emptyModule(1, [])] }, 'si', null)).toContain('which valves');
  });

  it('makes a name for topics of any name', () => {
    expect(keyOf('Kälteanlage Süd / 3')).toBe('kalteanlage-sud-3');
    expect(keyOf('  ')).toBe('');
  });
});
