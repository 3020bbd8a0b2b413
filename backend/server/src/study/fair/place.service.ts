import { lastDaysFrom_s } from '@coldrounds/core';
import type { FleetService } from '../../registry/fleet.service.js';
import type { UnitPath } from '../../registry/paths.js';
import { circuitFigures, type FigureSources } from '../ask/member-figures.js';
import { fieldsOf, population, type Member } from '../ask/population.js';
import type { QuantityName } from '../ask/question.js';

/** What a circuit is compared by with its like. */
const compared = [
  'superheatMean_K',
  'superheatSpread_K',
  'floodbackFraction',
  'huntingFraction',
  'headroom_K',
  'valveReversals_day',
  'life_fraction_year',
] as const satisfies readonly QuantityName[];

const days = 28;
/** Fewer others than this give no place. Judgement, no source. */
const leastOthers = 5;
/** The like of a circuit: alike in all of these, or, where they are too few, in fewer of them. */
const alike = [['valve size', 'refrigerant', 'condenser'], ['refrigerant', 'condenser'], ['evaporator'], []];

/** Where each circuit of a unit lies among its like. */
export class PlaceService {
  constructor(
    private readonly parts: FigureSources & { fleet: FleetService },
    private readonly now_s: () => number = () => Date.now() / 1000,
  ) {}

  async places({ site, unit }: UnitPath, sites: readonly string[] | null) {
    const own = await this.parts.fleet.unit({ site, unit });
    const { units } = await this.parts.fleet.fleet();
    const members = population(units, { of: 'circuits', where: [], sites });
    const to_s = lastDaysFrom_s(this.now_s(), 0);
    const { figures } = await circuitFigures(this.parts, members, compared, [[to_s - days * 86_400, to_s]], {
      ranges: [],
    });
    return {
      days,
      circuits: members.flatMap((member, place) =>
        member.unit.id !== own.id
          ? []
          : [
              {
                circuit: member.number,
                quantities: compared.map((quantity) => ({
                  quantity,
                  ...placeOf(members, figures.get(quantity)![0]!, place),
                })),
              },
            ],
      ),
    };
  }
}

/** The fraction of its like that lies below, equals counted half. */
function placeOf(members: readonly Member[], values: readonly (number | null)[], place: number) {
  const value = values[place]!;
  if (value === null) return { value, below: null, others: 0, alikeIn: [] as string[] };
  for (const fields of alike) {
    const others = values.filter(
      (other, index): other is number =>
        other !== null &&
        members[index]!.unit.id !== members[place]!.unit.id &&
        fields.every((field) => wordOf(members[index]!, field) === wordOf(members[place]!, field)),
    );
    if (others.length < leastOthers) continue;
    const below = others.reduce((sum, other) => sum + (other < value ? 1 : other === value ? 0.5 : 0), 0);
    return { value, below: below / others.length, others: others.length, alikeIn: fields };
  }
  return { value, below: null, others: 0, alikeIn: [] as string[] };
}

const wordOf = (member: Member, field: string): string => fieldsOf.circuits[field]!(member);
