import { lastDaysFrom_s } from '@coldrounds/core';
import type { FleetUnit } from '../../registry/fleet.js';
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
import { Kept } from '../kept.js';

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

/** All circuits, or modules, of the fleet with their figures, as of a moment. */
interface Compares {
  of: Compared;
  members: readonly Member[];
  /** One for each member; NaN: not known. */
  figures: ReadonlyMap<QuantityName, Float64Array>;
}

/** The figures are of four weeks, to which these minutes add nothing, and reading them takes most of a second over 10,000 units. */
const keptFor_ms = 300_000;

/** Where each circuit and module of a unit lies among its like. */
export class PlaceService {
  private readonly kept: Kept<Record<Compared, Compares>>;

  constructor(
    private readonly parts: FigureSources & { fleet: FleetService },
    private readonly now_s: () => number = () => Date.now() / 1000,
  ) {
    this.kept = new Kept(() => this.read(), undefined, keptFor_ms);
  }

  async places({ site, unit }: UnitPath, sites: readonly string[] | null) {
    const own = await this.parts.fleet.unit({ site, unit });
    const kept = await this.kept.get();
    // What was registered meanwhile is read anew; of a retired unit nothing is told.
    const { circuits, modules } = own.retiredAt !== null || knows(kept, own) ? kept : await this.kept.renew();
    return {
      days,
      circuits: placesOf(circuits, own.id, sites).map(({ number, ...places }) => ({
        circuit: number,
        ...places,
      })),
      modules: placesOf(modules, own.id, sites).map(({ number, ...places }) => ({
        module: number,
        ...places,
      })),
    };
  }

  private async read(): Promise<Record<Compared, Compares>> {
    const { units } = await this.parts.fleet.fleet();
    const to_s = lastDaysFrom_s(this.now_s(), 0);
    const span: [number, number] = [to_s - days * 86_400, to_s];
    const [circuits, modules] = (['circuits', 'modules'] as const).map((of) =>
      population(units, { of, where: [], sites: null }),
    );
    const [ofCircuits, ofModules] = await Promise.all([
      circuitFigures(this.parts, circuits!, compared.circuits, [span], { ranges: [] }),
      moduleFigures(this.parts, modules!, compared.modules, [span], { picture: 'distribution' }),
    ]);
    const found = (of: Compared, members: readonly Member[], { figures }: MemberFigures): Compares => ({
      of,
      members,
      figures: new Map([...figures].map(([name, figure]) => [name, valuesOf(figure, 0, members.length)])),
    });
    return {
      circuits: found('circuits', circuits!, ofCircuits),
      modules: found('modules', modules!, ofModules),
    };
  }
}

/** Whether all circuits and modules of a unit are among those that were read. */
const knows = (kept: Record<Compared, Compares>, own: FleetUnit): boolean =>
  (['circuits', 'modules'] as const).every((of) => {
    const ids = new Set(
      kept[of].members
        .filter(({ unit }) => unit.id === own.id)
        .map(({ circuit, module }) => (circuit ?? module)!.id),
    );
    return own[of].every(({ id }) => ids.has(id));
  });

function placesOf(compares: Compares, unitId: number, sites: readonly string[] | null) {
  const { of, members, figures } = compares;
  const mine = members.flatMap(({ unit }, place) => (unit.id === unitId ? [place] : []));
  return mine.map((place) => {
    const likes = alike[of].map((fields) => ({ fields, places: likeOf(compares, place, fields, sites) }));
    return {
      number: members[place]!.number,
      quantities: compared[of].map((quantity) => ({
        quantity,
        ...placeOf(figures.get(quantity)!, place, likes),
      })),
    };
  });
}

/** Members of other units, of the sites that may be seen, that are like one in all of the fields. */
function likeOf(
  { of, members }: Compares,
  place: number,
  fields: readonly string[],
  sites: readonly string[] | null,
): number[] {
  const words = fields.map((field) => fieldsOf[of][field]!);
  const own = words.map((word) => word(members[place]!));
  return members.flatMap((member, index) =>
    member.unit.id !== members[place]!.unit.id &&
    (sites === null || sites.includes(member.unit.site.key)) &&
    words.every((word, at) => word(member) === own[at])
      ? [index]
      : [],
  );
}

/** The fraction of its like that lies below, and of those with the same value. */
function placeOf(
  values: Float64Array,
  place: number,
  likes: readonly { fields: readonly string[]; places: readonly number[] }[],
) {
  const value = values[place]!;
  const nothing = { below: null, equal: null, others: 0, alikeIn: [] as string[] };
  if (Number.isNaN(value)) return { value: null, ...nothing };
  for (const { fields, places } of likes) {
    let [others, below, equal] = [0, 0, 0];
    for (const index of places) {
      const other = values[index]!;
      if (Number.isNaN(other)) continue;
      others++;
      if (other < value) below++;
      else if (other === value) equal++;
    }
    if (others >= leastOthers)
      return { value, below: below / others, equal: equal / others, others, alikeIn: [...fields] };
  }
  return { value, ...nothing };
}
