import { describe, expect, it } from 'vitest';
import type { IngestUnit } from '../storage/incoming/ingest-registry.js';
import { UnitDirectory } from './unit-directory.js';

const unit = (key: string): IngestUnit => ({
  site: 'harbour',
  unit: key,
  unitId: 5,
  refrigerant: 'R134a',
  altitude_m: 0,
  evaporator: 'dry-expansion',
  reversible: false,
  reporting: null,
  circuits: [],
  modules: [{ id: 8, number: 1 }],
});
const water = (key: string) => ({ site: 'harbour', unit: key, stream: 'water' as const, number: null });

describe('the directory of units', () => {
  const make = (units: IngestUnit[]) => {
    const clock = { now: 1_000_000, loads: 0 };
    const directory = new UnitDirectory(
      async () => {
        clock.loads++;
        return { version: clock.loads, units };
      },
      5_000,
      () => clock.now,
    );
    return { directory, clock };
  };

  it('loads once for known units', async () => {
    const { directory, clock } = make([unit('a')]);
    expect(await directory.find(water('a'))).toMatchObject({ id: 5 });
    expect(await directory.find({ ...water('a'), stream: 'backup', number: 1 })).toMatchObject({ id: 8 });
    expect(clock.loads).toBe(1);
  });

  it('looks again for an unknown unit, but not for each of its messages', async () => {
    const units = [unit('a')];
    const { directory, clock } = make(units);
    for (let i = 0; i < 100; i++) {
      expect(await directory.find(water('b'))).toMatchObject({ unknown: 'unknown-unit' });
    }
    expect(clock.loads).toBe(1);
    units.push(unit('b'));
    clock.now += 5_000;
    expect(await directory.find(water('b'))).toMatchObject({ id: 5 });
  });

  it('looks at once when told that the registry changed', async () => {
    const units = [unit('a')];
    const { directory } = make(units);
    await directory.find(water('b'));
    units.push(unit('b'));
    directory.invalidate();
    expect(await directory.find(water('b'))).toMatchObject({ id: 5 });
  });

  it('tells an unknown site from an unknown unit, circuit and module', async () => {
    const { directory } = make([unit('a')]);
    const reason = async (address: object) =>
      ((await directory.find({ ...water('a'), ...address })) as { unknown: string }).unknown;
    expect(await reason({ site: 'x' })).toBe('unknown-site');
    expect(await reason({ unit: 'x' })).toBe('unknown-unit');
    expect(await reason({ stream: 'circuits', number: 9 })).toBe('unknown-circuit');
    expect(await reason({ stream: 'closing', number: 9 })).toBe('unknown-module');
  });

  it('reads a unit of a refrigerant without property table, without saturation temperatures', async () => {
    const circuit = {
      number: 1,
      suctionPressure: { minimum: 0, maximum: 1e6, tolerance: 1e4, reference: 'absolute' },
      dischargePressure: { minimum: 0, maximum: 3e6, tolerance: 1e4, reference: 'absolute' },
      suctionTemperature: { minimum: 230, maximum: 400, tolerance: 1 },
      dischargeTemperature: { minimum: 230, maximum: 400, tolerance: 1 },
      liquidTemperature: { minimum: 230, maximum: 400, tolerance: 1 },
    } as IngestUnit['circuits'][number]['entry'];
    const { directory } = make([
      { ...unit('a'), refrigerant: 'none such', circuits: [{ id: 3, number: 1, entry: circuit }] },
    ]);
    expect(await directory.find({ ...water('a'), stream: 'circuits', number: 1 })).toMatchObject({
      id: 3,
      refrigerant: null,
    });
  });
});
