import type { TakenDecision, TakenFinding } from '../../storage/taking-away/taken.repository.js';
import { ids, placeColumns, placed, tableOf, type Place, type RowColumn } from '../dataset.js';

type FindingRow = TakenFinding & { place: Place };
type DecisionRow = TakenDecision & { place: Place };

const findingColumns: RowColumn<FindingRow>[] = [
  ...placeColumns(),
  { name: 'finding', type: 'text', meaning: 'Number of the finding.', of: ({ id }) => id },
  {
    ...{
      name: 'subject',
      type: 'text',
      meaning: 'What it is about: unit, circuit/1, sensor/1/suction-pressure, module/1.',
    },
    of: ({ subject }) => subject,
  },
  {
    name: 'condition',
    type: 'text',
    meaning: 'What is seen, as a stable word.',
    of: ({ finding }) => finding.condition,
  },
  { name: 'time', type: 'time', meaning: 'When it was opened.', of: ({ opened_s }) => opened_s },
  { name: 'updated_at', type: 'time', meaning: 'When it last changed.', of: ({ updated_s }) => updated_s },
  {
    name: 'ended_at',
    type: 'time',
    meaning: 'When it ended; missing: it is open.',
    of: ({ ended_s }) => ended_s,
  },
  {
    name: 'urgency',
    type: 'text',
    meaning: 'today, this-week, next-visit or watch.',
    of: ({ urgency }) => urgency,
  },
  {
    name: 'certainty',
    type: 'text',
    meaning: 'certain, likely or possible.',
    of: ({ certainty }) => certainty,
  },
  {
    name: 'cause',
    type: 'text',
    meaning: 'The likeliest diagnosed cause that explains it, as a stable word; missing: none is named.',
    of: ({ cause }) => cause,
  },
  {
    name: 'cause_weight',
    type: 'double',
    unit: '1',
    meaning: 'How likely that cause is.',
    of: ({ causeWeight }) => causeWeight,
  },
  {
    name: 'headline',
    type: 'text',
    meaning: 'What is wrong, in a sentence.',
    of: ({ finding }) => finding.headline.text,
  },
  {
    name: 'waiting',
    type: 'text',
    meaning: 'What waiting costs, in a sentence.',
    of: ({ finding }) => finding.waiting.sentence.text,
  },
];

export const findingsDataset = tableOf<FindingRow>(
  {
    name: 'findings',
    rowIs: 'One finding, as it stands or as it ended.',
    spanOf: 'any time at which the finding was open',
  },
  findingColumns,
  ({ taken }, { units, span }) => placed(units, taken.findings(ids(units), span), ({ unitId }) => unitId),
);

/** A word of what was decided, where that kind of decision has it. */
const word = (row: DecisionRow, ...keys: string[]): string | null => {
  for (const key of keys) {
    const value = row.document[key];
    if (typeof value === 'string') return value;
  }
  return null;
};

const seenOf = ({ document }: DecisionRow): { kind?: string; cause?: string; words?: string } =>
  (document.seen as { kind?: string } | undefined) ?? {};

const saidOf = ({ finding }: DecisionRow) =>
  finding.said as { cause: string; weight: number } | null | undefined;

const decisionColumns: RowColumn<DecisionRow>[] = [
  ...placeColumns(),
  { name: 'decision', type: 'text', meaning: 'Number of the decision.', of: ({ id }) => id },
  {
    name: 'finding',
    type: 'text',
    meaning: 'Number of the finding that it is about.',
    of: ({ findingId }) => findingId,
  },
  { name: 'time', type: 'time', meaning: 'When it was decided.', of: ({ at_s }) => at_s },
  { name: 'person', type: 'text', meaning: 'Who decided.', of: ({ person }) => person },
  {
    name: 'kind',
    type: 'text',
    meaning: 'hand-over, put-off, accept, close or note.',
    of: ({ kind }) => kind,
  },
  {
    name: 'until',
    type: 'text',
    meaning: 'Calendar day at the site by which, or until which, it holds.',
    of: (row) => word(row, 'due', 'until', 'review'),
  },
  {
    name: 'words',
    type: 'text',
    meaning: 'Reason, note, or what was done at the visit.',
    of: (row) => word(row, 'reason', 'text', 'done'),
  },
  {
    name: 'seen',
    type: 'text',
    meaning: 'At a visit: cause, other or nothing.',
    of: (row) => seenOf(row).kind,
  },
  {
    name: 'seen_cause',
    type: 'text',
    meaning: 'The cause that the visit found, as a stable word, or in words.',
    of: (row) => seenOf(row).cause ?? seenOf(row).words,
  },
  {
    name: 'said_cause',
    type: 'text',
    meaning: 'The cause that was said to be likeliest then.',
    of: (row) => saidOf(row)?.cause,
  },
  {
    name: 'said_weight',
    type: 'double',
    unit: '1',
    meaning: 'How likely it was said to be.',
    of: (row) => saidOf(row)?.weight,
  },
  {
    name: 'condition',
    type: 'text',
    meaning: 'What the finding says is seen, as a stable word.',
    of: ({ finding }) => String(finding.condition),
  },
  {
    name: 'urgency',
    type: 'text',
    meaning: 'Urgency of the finding then.',
    of: ({ finding }) => String(finding.urgency),
  },
  {
    name: 'certainty',
    type: 'text',
    meaning: 'Certainty of the finding then.',
    of: ({ finding }) => String(finding.certainty),
  },
];

export const decisionsDataset = tableOf<DecisionRow>(
  { name: 'decisions', rowIs: 'One decision or note on a finding.', spanOf: 'the decision' },
  decisionColumns,
  ({ taken }, { units, span }) => placed(units, taken.decisions(ids(units), span), ({ unitId }) => unitId),
);
