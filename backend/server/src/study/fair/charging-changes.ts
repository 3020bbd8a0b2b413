import type { Member } from '../ask/population.js';
import { pause } from '../thread/while-asked.js';
import { settingChanges, type MemberChange } from './changes.js';

/** Of one module the voltages at which its self-tests began, by the days (UTC) since the epoch on which they were, in their order. */
export interface SelfTestVoltages {
  moduleId: number;
  days: readonly number[];
  voltages_V: readonly number[];
}

const day_s = 86_400;
/** Settings of a charger differ by 2 % of the rated voltage at least; less is how well it is measured. Judgement, no source. */
const leastStep = 0.02;
/** Tests on each side of a change, at most so many days apart: nine weeks, as tests are weekly as a rule. */
const tests = { side: 5, within: 63 };
/** Days beside a span without which a step at its ends could not be told. */
export const chargingMargin_s = tests.within * day_s;

const modulesAtOnce = 1000;

/**
 * Lasting steps of the voltage that modules are charged to, told of the first day with a self-test that began at the new one. A test that
 * began before the module was charged again is one off its level, of which there may be few. A charger that fails in
 * part looks the same as one that was set otherwise.
 */
export async function chargingChanges(
  members: readonly Member[],
  tested: readonly SelfTestVoltages[],
): Promise<MemberChange[]> {
  const moduleOf = new Map(members.map(({ module }) => [module!.id, module!]));
  const found: MemberChange[] = [];
  for (const [at, { moduleId, days, voltages_V }] of tested.entries()) {
    // Pages of others are answered meanwhile.
    if (at % modulesAtOnce === 0) await pause();
    const module = moduleOf.get(moduleId);
    if (module === undefined) continue;
    const daily = new Float32Array(days.at(-1)! - days[0]! + 1).fill(NaN);
    // Of several tests in a day the first: those that follow begin before the module is charged again.
    days.forEach((day, test) => {
      const place = day - days[0]!;
      if (Number.isNaN(daily[place])) daily[place] = voltages_V[test]!;
    });
    const steps = { least: leastStep * module.entry.ratedVoltage_V, ...tests };
    found.push(...settingChanges(moduleId, days[0]! * day_s, daily, steps));
  }
  return found;
}
