import { lastDaysFrom_s } from '@coldrounds/core';
import type { FleetService } from '../../registry/fleet.service.js';
import type { UnitPath } from '../../registry/paths.js';
import {
  circuitFigures,
  moduleFigures,
  valuesOf,
  type FigureSources,
  type MemberFigures,
} from '../ask/member-figures.js';
import { fieldsOf, population, type Member } from '../ask/population.js';
import type { QuantityName } from '../ask/question.js';

/** What a circuit, and a module, is compared by with its like. */
const compared = {
  circuits: [
    'superheatMean_K',
    'superheatSpread_K',
    'floodbackFraction',
    'huntingFraction',
    'headroom_K',
    'valveReversals_day',
    'life_fraction_year',
  ],
  modules: [
    'closingReserve',
    'closingTime_s',
    'capacitance_fraction',
    'capacitanceLoss_fraction_year',
    'esr_fraction',
    'moduleTemperature_K',
  ],
} as const satisfies Record<string, readonly QuantityName[]>;
type Compared = keyof typeof compared;

const days = 28;
/** Fewer others than this give no place. Judgement, no source. */
const leastOthers = 5;
/** Its like: alike in all of these, or, where they are too few, in fewer of them. */
const alike: Record<Compared, readonly (readonly string[])[]> = {
  circuits: [['valve size', 'refrigerant', 'condenser'], ['refrigerant', 'condenser'], ['evaporator'], []],
  modules: [['rating', 'valves shut', 'year installed'], ['rating', 'valves shut'], ['rating'], []],
};

type Figures = MemberFigures['figures'];

/** Where each circuit and module of a unit lies among its like. */
export class PlaceService {
  constructor(
    private readonly parts: FigureSources & { fleet: FleetService },
    private readonly now_s: () => number = () => Date.now() / 1000,
  ) {}

  async places({ site, unit }: UnitPath, sites: readonly string[] | null) {
    const own = await this.parts.fleet.unit({ site, unit });
    const { units } = await this.parts.fleet.fleet();
    const to_s = lastDaysFrom_s(this.now_s(), 0);
    const span: [number, number] = [to_s - days * 86_400, to_s];
    const circuits = population(units, { of: 'circuits', where: [], sites });
    const modules = own.modules.length === 0 ? [] : population(units, { of: 'modules', where: [], sites });
    const [ofCircuits, ofModules] = await Promise.all([
      circuitFigures(this.parts, circuits, compared.circuits, [span], { ranges: [] }),
      moduleFigures(this.parts, modules, compared.modules, [span], { picture: 'distribution' }),
    ]);
    return {
      days,
      circuits: placesOf('circuits', own.id, circuits, ofCircuits.figures).map(({ number, ...places }) => ({
        circuit: number,
        ...places,
      })),
      modules: placesOf('modules', own.id, modules, ofModules.figures).map(({ number, ...places }) => ({
        module: number,
        ...places,
      })),
    };
  }
}

const placesOf = (of: Compared, unitId: number, members: readonly Member[], figures: Figures) =>
  members.flatMap((member, place) =>
    member.unit.id !== unitId
      ? []
      : [
          {
            number: member.number,
            quantities: compared[of].map((quantity) => ({
              quantity,
              ...placeOf(of, members, valuesOf(figures.get(quantity)!, 0, members.length), place),
            })),
          },
        ],
  );

/** The fraction of its like that lies below, equals counted half. */
function placeOf(of: Compared, members: readonly Member[], values: Float64Array, place: number) {
  const value = values[place]!;
  if (Number.isNaN(value)) return { value: null, below: null, others: 0, alikeIn: [] as string[] };
  const wordOf = (member: Member, field: string): string => fieldsOf[of][field]!(member);
  for (const fields of alike[of]) {
    const own = fields.map((field) => wordOf(members[place]!, field));
    const others = values.filter(
      (other, index) =>
        !Number.isNaN(other) &&
        members[index]!.unit.id !== members[place]!.unit.id &&
        fields.every((field, at) => wordOf(members[index]!, field) === own[at]),
    );
    if (others.length < leastOthers) continue;
    const below = others.reduce((sum, other) => sum + (other < value ? 1 : other === value ? 0.5 : 0), 0);
    return { value, below: below / others.length, others: others.length, alikeIn: [...fields] };
  }
  return { value, below: null, others: 0, alikeIn: [] as string[] };
}
