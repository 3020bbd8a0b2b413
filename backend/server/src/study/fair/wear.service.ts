import { resampledByUnit, type ResampledFigure } from '@coldrounds/core';
import { iso } from '../../pages/references.js';
import type { FleetService } from '../../registry/fleet.service.js';
import { circuitFigures, knownOrNull, type FigureSources } from '../ask/member-figures.js';
import { fieldsOf, nameOf, population, type Member } from '../ask/population.js';
import type { QuantityName, Where } from '../ask/question.js';
import type { Table } from '../export.service.js';
import { distribution } from '../quantiles.js';
import { pause } from '../thread/while-asked.js';

export interface WearQuestion {
  where: Where[];
  from_s: number;
  to_s: number;
  sites: readonly string[] | null;
}

const figuresOf = [
  'running_h_day',
  'valveTravel_strokes_day',
  'valveReversals_day',
  'travelLife_fraction_year',
  'reversalLife_fraction_year',
  'life_fraction_year',
  'lifeLeft_years',
] as const satisfies readonly QuantityName[];
type WearFigure = (typeof figuresOf)[number];

/** One circuit's valve; null: not known. */
type WornValve = Record<WearFigure, number | null> & { member: Member; size: string; duty: string | null };

/** Hours of running a day under which a duty ends. */
const duties = [
  { under_h: 8, words: 'under 8 h a day' },
  { under_h: 16, words: '8 to 16 h a day' },
  { under_h: Infinity, words: '16 h a day and more' },
];
/** Of fewer units no interval is given. Judgement, no source. */
const leastUnits = 5;
const draws = 200;

/** How valves wear by size and duty: travel and reversals against the rated life, and the years left. */
export class WearService {
  constructor(private readonly parts: FigureSources & { fleet: FleetService }) {}

  async wear(question: WearQuestion) {
    const { valves, leftOut } = await this.valves(question);
    const observed = valves.filter(({ life_fraction_year: life }) => life !== null);
    return {
      circuits: valves.length,
      observed: observed.length,
      withoutAge: observed.filter(({ member }) => member.unit.commissionedOn === null).length,
      assumedLife: observed.filter(({ member }) => member.circuit!.entry.valve.ratedLife === undefined)
        .length,
      leftOut,
      from: iso(question.from_s),
      to: iso(question.to_s),
      sizes: await groups(observed, ({ size }) => [size, null]),
      duties: await groups(observed, ({ size, duty }) => (duty === null ? null : [size, duty])),
    };
  }

  /** A row for each circuit. */
  async table(question: WearQuestion): Promise<Table> {
    const { valves } = await this.valves(question);
    async function* rows() {
      for (const valve of valves) {
        const { site, unit, circuit } = nameOf(valve.member);
        yield [site, unit, circuit, valve.size, valve.duty, ...figuresOf.map((name) => valve[name])];
      }
    }
    return {
      name: 'valve-wear',
      columns: ['site', 'unit', 'circuit', 'valve_size', 'duty', ...figuresOf],
      rows: rows(),
    };
  }

  private async valves({ where, sites, from_s, to_s }: WearQuestion) {
    const { units } = await this.parts.fleet.fleet();
    const members = population(units, { of: 'circuits', where, sites });
    const { figures, leftOut } = await circuitFigures(this.parts, members, figuresOf, [[from_s, to_s]], {
      ranges: [],
    });
    const valves = members.map((member, place): WornValve => {
      const found = Object.fromEntries(
        figuresOf.map((name) => [name, knownOrNull(figures.get(name)!(0, place))]),
      ) as Record<WearFigure, number | null>;
      const hours = found.running_h_day;
      return {
        ...found,
        member,
        size: fieldsOf.circuits['valve size']!(member),
        duty: hours === null ? null : duties.find(({ under_h }) => hours < under_h)!.words,
      };
    });
    return { valves, leftOut };
  }
}

async function groups(
  valves: readonly WornValve[],
  of: (valve: WornValve) => [size: string, duty: string | null] | null,
) {
  const found = new Map<string, { size: string; duty: string | null; own: WornValve[] }>();
  for (const valve of valves) {
    const name = of(valve);
    if (name === null) continue;
    const [size, duty] = name;
    const key = JSON.stringify(name);
    const known = found.get(key);
    if (known === undefined) found.set(key, { size, duty, own: [valve] });
    else known.own.push(valve);
  }
  const place = (duty: string | null) => duties.findIndex(({ words }) => words === duty);
  const inOrder = [...found.values()].sort(
    (a, b) => a.size.localeCompare(b.size, 'en', { numeric: true }) || place(a.duty) - place(b.duty),
  );
  const told: ReturnType<typeof groupOf>[] = [];
  for (const { size, duty, own } of inOrder) {
    // Pages of others are answered between two groups.
    await pause();
    told.push(groupOf(size, duty, own));
  }
  return told;
}

function groupOf(size: string, duty: string | null, own: readonly WornValve[]) {
  const of = (name: WearFigure) => distribution(own.map((valve) => valve[name]));
  const byReversals = own.filter(
    ({ travelLife_fraction_year: travel, reversalLife_fraction_year: reversals }) =>
      (reversals ?? 0) > (travel ?? 0),
  ).length;
  return {
    size,
    duty,
    circuits: own.length,
    units: new Set(own.map(({ member }) => member.unit.id)).size,
    travel: of('travelLife_fraction_year'),
    reversals: of('reversalLife_fraction_year'),
    life: of('life_fraction_year'),
    byReversals,
    left: of('lifeLeft_years'),
    leftMedian: medianLeft(own),
  };
}

/** The median of the years left, with its interval from drawing units. */
function medianLeft(own: readonly WornValve[]): ResampledFigure | null {
  const known = own
    .flatMap(({ member, lifeLeft_years: left }) => (left === null ? [] : [{ unit: member.unit.id, left }]))
    .sort((a, b) => a.left - b.left);
  const number = new Map<number, number>();
  for (const { unit } of known) if (!number.has(unit)) number.set(unit, number.size);
  if (number.size < leastUnits) return null;
  const left = Float64Array.from(known, (valve) => valve.left);
  const unitOf = Int32Array.from(known, ({ unit }) => number.get(unit)!);
  const valvesOf = new Int32Array(number.size);
  for (const unit of unitOf) valvesOf[unit]!++;
  const median = (times: Int32Array) => {
    let drawn = 0;
    for (let unit = 0; unit < times.length; unit++) drawn += times[unit]! * valvesOf[unit]!;
    let under = 0;
    for (let row = 0; row < left.length; row++) {
      under += times[unitOf[row]!]!;
      if (2 * under > drawn) return left[row]!;
      if (2 * under < drawn) continue;
      // The middle of an even number lies between two.
      let next = row + 1;
      while (next < left.length && times[unitOf[next]!] === 0) next++;
      return (left[row]! + (left[next] ?? left[row]!)) / 2;
    }
    return null;
  };
  return resampledByUnit(new Array<number>(number.size).fill(0), median, { draws });
}
