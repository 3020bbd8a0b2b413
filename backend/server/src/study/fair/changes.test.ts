import { describe, expect, it } from 'vitest';
import type { FleetUnit } from '../../registry/fleet.js';
import type { AskService } from '../ask/ask.service.js';
import type { Member } from '../ask/population.js';
import { ChangeEffectService, type ChangeQuestion } from './change-effect.service.js';
import { firmwareChanges, partChanges, registryChanges, visits } from './changes.js';

const day_s = 86_400;
const at_s = 1_760_000_000;

/** A unit with two circuits and two modules, of which none shares its id with another. */
const unitOf = (id: number) =>
  ({
    id,
    circuits: [1, 2].map((number) => ({ id: 10 * id + number, number })),
    modules: [1, 2].map((number) => ({ id: 1000 + 10 * id + number, number })),
  }) as unknown as FleetUnit;
const units = [unitOf(1), unitOf(2)];
const told = (changes: readonly { memberId: number; word: string }[]) =>
  changes.map(({ memberId, word }) => [memberId, word]);

describe('changes told of circuits and of modules', () => {
  it('are of all of a unit where its firmware changed', () => {
    const step = { unitId: 2, at_s, before: { controllerFirmware: '3' }, after: { controllerFirmware: '4' } };
    expect(told(firmwareChanges(units, [step], 'circuits'))).toEqual([
      [21, '4'],
      [22, '4'],
    ]);
    expect(told(firmwareChanges(units, [step], 'modules'))).toEqual([
      [1021, '4'],
      [1022, '4'],
    ]);
  });

  it('are of one module where its own entry became another', () => {
    const document = (ratedVoltage_V: number) => ({
      circuits: [{ number: 1 }],
      modules: [
        { number: 1, ratedVoltage_V: 20 },
        { number: 2, ratedVoltage_V },
      ],
    });
    const step = { unitId: 1, at_s, before: document(20), after: document(18) };
    expect(told(registryChanges(units, [step], 'modules'))).toEqual([[1012, 'rated voltage']]);
    expect(registryChanges(units, [step], 'circuits')).toEqual([]);
  });

  it('are not told of circuits where a visit was at a module, nor the other way round', () => {
    const atModule = { unitId: 1, at_s, circuit: null, module: 2 };
    const atCircuit = { unitId: 1, at_s, circuit: 1, module: null };
    const atUnit = { unitId: 1, at_s, circuit: null, module: null };
    const of = (subject: 'circuits' | 'modules') =>
      told([
        ...partChanges(units, [{ ...atModule, part: 'Backup module' }], subject),
        ...visits(units, [{ ...atCircuit, cause: 'valve-friction' }], subject),
        ...visits(units, [{ ...atUnit, cause: 'other' }], subject),
      ]);
    expect(of('circuits')).toEqual([
      [11, 'valve-friction'],
      [11, 'other'],
      [12, 'other'],
    ]);
    expect(of('modules')).toEqual([
      [1012, 'backup module'],
      [1011, 'other'],
      [1012, 'other'],
    ]);
  });
});

describe('the effect of a change on modules', () => {
  it('is what moved theirs more than those of units without it', async () => {
    // Twenty units; every second one got other firmware, after which its module lost 5 points more than the 1 of all.
    const fleet = Array.from({ length: 20 }, (_, n) => unitOf(n + 1));
    const members = fleet.map(
      (unit) =>
        ({ unit, number: 1, circuit: null, module: unit.modules[0]!, sensor: null }) as unknown as Member,
    );
    const had = (member: Member) => member.unit.id % 2 === 0;
    const asking = {
      members: async () => members,
      figures: async (_: unknown, asked: readonly Member[], names: string[], spans: [number, number][]) => ({
        figures: new Map([
          [
            names[0],
            (period: number, place: number) =>
              spans[period]![0] < at_s ? 0.95 : 0.94 - (had(asked[place]!) ? 0.05 : 0),
          ],
        ]),
      }),
    } as unknown as AskService;
    const steps = fleet
      .filter(({ id }) => id % 2 === 0)
      .map(({ id }) => ({
        ...{ unitId: id, at_s },
        ...{ before: { controllerFirmware: '3' }, after: { controllerFirmware: '4' } },
      }));
    const service = new ChangeEffectService({
      asking,
      fleet: { fleet: async () => ({ units: fleet }) },
      study: { registrySteps: async () => steps },
      days: {},
    } as unknown as ConstructorParameters<typeof ChangeEffectService>[0]);
    const question = {
      ...{ of: 'modules', quantity: 'capacitance_fraction', change: 'firmware', became: null },
      ...{ from_s: at_s - 200 * day_s, to_s: at_s + 200 * day_s, span_days: 91 },
    } as unknown as ChangeQuestion;
    const found = await service.effect(question);
    expect(found).toMatchObject({ changes: 10, weeks: 1, units: [10, 10], words: ['4'] });
    expect(found.effect!.estimate).toBeCloseTo(-0.05, 9);
    expect(found.othersBy).toBeCloseTo(-0.01, 9);
    expect(found.earlier!.estimate).toBeCloseTo(0, 9);
    // A setpoint is none of a module's.
    expect((await service.effect({ ...question, change: 'setpoint' })).changes).toBe(0);
  });
});
