import type { FleetService } from '../../registry/fleet.service.js';
import { iso } from '../../pages/references.js';
import type { Table } from '../export.service.js';
import {
  circuitFigures,
  moduleFigures,
  sensorFigures,
  type FigureSources,
  knownOrNull,
  valuesOf,
  type MemberFigures,
} from './member-figures.js';
import { distributions, groupsOf, scatter, shares, trends, unitsIn } from './pictures.js';
import { fieldsOf, nameOf, population, type Member } from './population.js';
import { periodsOf, subjects, type Question, type QuantityName, type Subject } from './question.js';

export interface AskParts extends FigureSources {
  fleet: FleetService;
}

/** Answers what a person asks of the fleet, from the daily figures of circuits and the months of modules. */
export class AskService {
  constructor(private readonly parts: AskParts) {}

  /** What can be asked: the fields of the registry with the words that occur, and the conditions that have been found. */
  async asked(sites: readonly string[] | null) {
    const { units } = await this.parts.fleet.fleet();
    const seen = new Set(
      units.filter(({ site }) => sites === null || sites.includes(site.key)).map(({ site }) => site.id),
    );
    const conditions = new Map<string, number>();
    for (const { condition, siteId, units: had } of await this.parts.study.conditions())
      if (seen.has(siteId)) conditions.set(condition, (conditions.get(condition) ?? 0) + had);
    return {
      conditions: [...conditions]
        .map(([condition, had]) => ({ condition, units: had }))
        .sort((a, b) => a.condition.localeCompare(b.condition, 'en')),
      subjects: subjects.map((of) => {
        const members = population(units, { of, where: [], sites });
        return {
          of,
          members: members.length,
          fields: Object.entries(fieldsOf[of])
            // A list of all units would be as long as the fleet.
            .filter(([name]) => name !== 'unit')
            .map(([name, field]) => ({ name, values: counted(members.map(field)) })),
        };
      }),
    };
  }

  async ask(question: Question) {
    const { picture, over } = question;
    const { periods, figures, leftOut, ...grouped } = await this.worked(question);
    const { members } = grouped;
    const valuesIn = (name: QuantityName) =>
      periods.map((_, period) => valuesOf(figures.get(name)!, period, members.length));
    const values = valuesIn(question.quantity);
    const known = [...members.keys()].filter((place) =>
      values.some((period) => !Number.isNaN(period[place])),
    );
    return {
      members: members.length,
      units: unitsIn(grouped, known),
      known: known.length,
      leftOut,
      from: iso(question.from_s),
      to: iso(question.to_s),
      distribution: picture === 'distribution' ? distributions(grouped, values[0]!) : null,
      scatter: picture === 'scatter' ? scatter(grouped, valuesIn(question.against!)[0]!, values[0]!) : null,
      trend: picture === 'trend' ? dated(trends(grouped, periods, values)) : null,
      share: picture === 'share' ? dated(shares(grouped, periods, values, over!)) : null,
    };
  }

  /** Every figure behind the answer: a row for each member and period. */
  async table(question: Question): Promise<Table> {
    const { members, periods, figures, groups } = await this.worked(question);
    const names = namesOf(question);
    const { split, of } = question;
    async function* rows() {
      for (const [period, [from_s, to_s]] of periods.entries())
        for (const [place, member] of members.entries()) {
          const { site, unit, circuit, module, sensor } = nameOf(member);
          yield [
            ...[site, unit, circuit, module, sensor, groups[place]!, iso(from_s), iso(to_s)],
            ...names.map((name) => knownOrNull(figures.get(name)!(period, place))),
          ];
        }
    }
    return {
      name: `${of}-${question.picture}`,
      columns: ['site', 'unit', 'circuit', 'module', 'sensor', split ?? 'group', 'from', 'to', ...names],
      rows: rows(),
    };
  }

  /** What the picture and the table are both made of. */
  private async worked(question: Question) {
    const { of, split } = question;
    const members = await this.members(question);
    const periods = periodsOf(question);
    const names = [...new Set(namesOf(question))];
    const { figures, leftOut } = await this.figures(question, members, names, periods);
    const groups = groupsOf(members, split === null ? null : fieldsOf[of][split]!);
    return { members, periods, figures, leftOut, groups };
  }

  async members(question: Question): Promise<Member[]> {
    const { units } = await this.parts.fleet.fleet();
    const members = population(units, question);
    if (question.condition === null) return members;
    const had = await this.parts.study.havingHad(question.condition, question.from_s, question.to_s);
    const key = (unitId: number, kind: string, number: number) => `${unitId} ${kind} ${number}`;
    const found = new Set(
      had.flatMap(({ unitId, circuit, module }) => [
        String(unitId),
        ...(circuit === null ? [] : [key(unitId, 'circuit', circuit)]),
        ...(module === null ? [] : [key(unitId, 'module', module)]),
      ]),
    );
    const wholeUnit = new Set(
      had.filter(({ circuit, module }) => circuit === null && module === null).map(({ unitId }) => unitId),
    );
    return members.filter(
      ({ unit, number, module }) =>
        wholeUnit.has(unit.id) || found.has(key(unit.id, module === null ? 'circuit' : 'module', number)),
    );
  }

  async figures(
    question: Question,
    members: readonly Member[],
    names: readonly QuantityName[],
    periods: readonly [number, number][],
  ): Promise<MemberFigures> {
    const answer: Record<Subject, () => Promise<MemberFigures>> = {
      circuits: () => circuitFigures(this.parts, members, names, periods, question),
      modules: () => moduleFigures(this.parts, members, names, periods, question),
      sensors: () => sensorFigures(this.parts, members, periods),
    };
    return answer[question.of]();
  }
}

const namesOf = ({ quantity, against }: Question): QuantityName[] =>
  against === null ? [quantity] : [quantity, against];

/** The words that occur, each with how often, in their order. */
function counted(words: readonly string[]): { value: string; members: number }[] {
  const counts = new Map<string, number>();
  for (const word of words) counts.set(word, (counts.get(word) ?? 0) + 1);
  return [...counts]
    .sort((a, b) => a[0].localeCompare(b[0], 'en', { numeric: true }))
    .map(([value, members]) => ({ value, members }));
}

const dated = <Point extends { from_s: number; to_s: number }>(
  groups: { group: string; points: Point[] }[],
) =>
  groups.map(({ group, points }) => ({
    group,
    points: points.map(({ from_s, to_s, ...point }) => ({ from: iso(from_s), to: iso(to_s), ...point })),
  }));
