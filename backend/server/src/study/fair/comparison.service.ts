import { compareGroups, type Covariate } from '@coldrounds/core';
import { iso } from '../../pages/references.js';
import type { AskService } from '../ask/ask.service.js';
import { knownOrNull, valuesOf } from '../ask/member-figures.js';
import { fieldsOf } from '../ask/population.js';
import { quantitiesOf, type Question, type QuantityName } from '../ask/question.js';
import { pause } from '../thread/while-asked.js';

export interface ComparisonQuestion extends Question {
  /** Field of the registry that makes the groups, and its two words. */
  split: string;
  first: string;
  second: string;
  /** What is not adjusted for, though it could be. */
  without: readonly string[];
}

/** In what else groups may differ: load, climate, duty and size by figures, the rest by words. */
const adjusted = {
  circuits: {
    figures: ['compressorLoad_pct', 'ambientTemperature_K', 'running_h_day', 'capacity_W'],
    words: ['valve size', 'refrigerant', 'condenser', 'climate', 'compressor'],
  },
  modules: {
    figures: ['moduleTemperature_K', 'moduleAge_years'],
    words: ['rating', 'climate'],
  },
} as const satisfies Record<
  'circuits' | 'modules',
  { figures: readonly QuantityName[]; words: readonly string[] }
>;

/** Groups compared like with like. */
export class ComparisonService {
  constructor(private readonly asking: AskService) {}

  async compare(question: ComparisonQuestion) {
    const { of, split, first, second, quantity, from_s, to_s } = question;
    const field = fieldsOf[of][split]!;
    const every = await this.asking.members(question);
    const members = every.filter((member) => [first, second].includes(field(member)));
    const { figures, words } = adjusted[of === 'modules' ? 'modules' : 'circuits'];
    const numbers = figures.filter(
      (name) => name !== quantity && quantitiesOf[of].includes(name) && !question.without.includes(name),
    );
    const found = await this.asking.figures(question, members, [quantity, ...numbers], [[from_s, to_s]]);
    const valuesIn = (name: QuantityName) => valuesOf(found.figures.get(name)!, 0, members.length);
    const outcome = valuesIn(quantity);
    const known = [...members.keys()].filter((place) => !Number.isNaN(outcome[place]));
    const covariates: Covariate[] = [
      ...numbers.map((name) => {
        const values = valuesIn(name);
        return { name, values: known.map((place) => knownOrNull(values[place]!)) };
      }),
      ...words
        .filter((word) => word !== split && !question.without.includes(word))
        .map((name) => ({ name, values: known.map((place) => fieldsOf[of][name]!(members[place]!)) })),
    ];
    await pause();
    const result = compareGroups({
      unit: known.map((place) => String(members[place]!.unit.id)),
      first: known.map((place) => field(members[place]!) === first),
      outcome: known.map((place) => outcome[place]!),
      covariates,
    });
    return {
      ...result,
      balance: result.balance.map(({ before, after, ...each }) => ({
        ...each,
        before: finite(before),
        after: finite(after),
      })),
      adjustedFor: covariates.map(({ name }) => name),
      withoutFigure: members.length - known.length,
      leftOut: found.leftOut,
      from: iso(from_s),
      to: iso(to_s),
    };
  }
}

/** JSON has no infinity: groups that differ in what varies in neither. */
const finite = (value: number): number | null => (Number.isFinite(value) ? value : null);
