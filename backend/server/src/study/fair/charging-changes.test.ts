import { normalDraws, seededRandom } from '@coldrounds/core/numerics';
import { describe, expect, it } from 'vitest';
import type { Member } from '../ask/population.js';
import { chargingChanges } from './charging-changes.js';

const day_s = 86_400;
/** A module of 16 V rated; of a member nothing else is looked at. */
const member = { module: { id: 4, entry: { ratedVoltage_V: 16 } } } as unknown as Member;
const draw = normalDraws(seededRandom(11));

/** Weekly tests, with 0.03 V of scatter, at the voltage of each week. */
const weekly = (voltage_V: (week: number) => number) => ({
  moduleId: 4,
  days: Array.from({ length: 40 }, (_, week) => 20_000 + 7 * week),
  voltages_V: Array.from({ length: 40 }, (_, week) => voltage_V(week) + 0.03 * draw()),
});

describe('changes of the voltage that modules are charged to', () => {
  it('are told of the first self-test at the new one', async () => {
    const tested = weekly((week) => (week < 20 ? 15.6 : 14.8));
    expect(await chargingChanges([member], [tested])).toEqual([
      { memberId: 4, at_s: (20_000 + 140) * day_s, word: 'lowered' },
    ]);
  });

  it('are none where single tests begin before the module is charged again, nor where the voltage drifts', async () => {
    const discharged = weekly((week) => (week % 9 === 4 ? 13 : 15.6));
    const drifting = weekly((week) => 15.6 - 0.02 * week);
    expect(await chargingChanges([member], [discharged])).toEqual([]);
    expect(await chargingChanges([member], [drifting])).toEqual([]);
  });

  it('take the first of several tests of a day', async () => {
    const { moduleId, days, voltages_V } = weekly((week) => (week < 12 ? 14.8 : 15.6));
    const twice = {
      moduleId,
      days: days.flatMap((day) => [day, day]),
      voltages_V: voltages_V.flatMap((voltage) => [voltage, voltage - 2]),
    };
    expect(await chargingChanges([member], [twice])).toEqual([
      { memberId: 4, at_s: (20_000 + 84) * day_s, word: 'raised' },
    ]);
  });

  it('are told of modules that are asked of alone', async () => {
    const tested = { ...weekly((week) => (week < 20 ? 15.6 : 14.8)), moduleId: 5 };
    expect(await chargingChanges([member], [tested])).toEqual([]);
  });
});
