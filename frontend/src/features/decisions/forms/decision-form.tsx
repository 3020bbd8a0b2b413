import { useQuery } from '@tanstack/react-query';
import { useState, type ReactNode } from 'react';
import { FormError } from '../../../components/form-error.js';
import type { DecisionKind, DecisionWish } from '../../../api/decisions/decisions.js';
import { peopleQuery } from '../../../api/people.js';
import type { Finding, UnitDetail } from '../../../api/types.js';
import { roleWords } from '../../people/role-words.js';
import { kindWords } from '../standing-words.js';
import { useDraft } from '../use-draft.js';
import { outbox, useSending } from '../outbox/use-outbox.js';
import { VisitFields, emptyVisit, visitOf } from './visit-fields.js';
import { usePreferences } from '../../../app/preferences.js';

interface DecisionFormProps {
  kind: DecisionKind;
  finding: Finding;
  detail: UnitDetail;
  /** Of the plan that is shown. */
  version: number;
  said: string | null;
  done: () => void;
}

const inDays = (days: number) => new Date(Date.now() + days * 86_400_000).toISOString().slice(0, 10);

const emptyDraft = () => ({
  assignee: '',
  day: '',
  untilWorse: false,
  text: '',
  visit: emptyVisit,
});
export type Draft = ReturnType<typeof emptyDraft>;

/** One decision on one finding. What is typed is kept; what is sent is kept until the server has it. */
export function DecisionForm({ kind, finding, detail, version, said, done }: DecisionFormProps) {
  const [draft, change, clear] = useDraft<Draft>(`${finding.id}.${kind}`, emptyDraft());
  const [trouble, setTrouble] = useState<string | null>(null);
  const { units } = usePreferences();
  const send = useSending();
  const submit = async () => {
    const wish = wishOf(kind, draft, version, units);
    if (typeof wish === 'string') return setTrouble(wish);
    const body = { ...wish, key: crypto.randomUUID() };
    outbox.keep({ finding: finding.id, about: `${kindWords[kind]}, ${detail.unit.name}`, body });
    await send();
    const left = outbox.list().find((entry) => entry.body.key === body.key);
    if (left?.refused !== undefined) {
      outbox.drop(body.key);
      return setTrouble(left.refused);
    }
    clear();
    done();
  };
  return (
    <form
      className="form decision-form"
      onSubmit={(event) => {
        event.preventDefault();
        void submit();
      }}
    >
      {kind === 'hand-over' && <HandOverFields draft={draft} change={change} />}
      {kind === 'put-off' && <PutOffFields draft={draft} change={change} />}
      {kind === 'accept' && (
        <Day label="Look at it again on" value={draft.day} change={(day) => change({ day })} />
      )}
      {kind === 'close' && (
        <VisitFields
          detail={detail}
          said={said}
          visit={draft.visit}
          change={(visit) => change({ visit: { ...draft.visit, ...visit } })}
        />
      )}
      <Words
        label={wordsLabel[kind]}
        required={kind !== 'hand-over'}
        value={draft.text}
        change={(text) => change({ text })}
      />
      <FormError why={trouble} />
      <button type="submit" className="button">
        {kindWords[kind]}
      </button>
    </form>
  );
}

const wordsLabel: Record<DecisionKind, string> = {
  'hand-over': 'What to mind (may be left empty)',
  'put-off': 'Reason',
  accept: 'Reason',
  close: 'What was done',
  note: 'Note',
};

/** What is to be sent, or what is missing. */
function wishOf(
  kind: DecisionKind,
  draft: Draft,
  version: number,
  units: 'si' | 'inch-pound',
): DecisionWish | string {
  const text = draft.text.trim();
  if (kind === 'note') return { kind, text };
  if (kind === 'hand-over')
    return {
      ...{ kind, version, assignee: Number(draft.assignee), due: draft.day },
      reason: text === '' ? null : text,
    };
  if (kind === 'put-off') return { kind, version, until: draft.untilWorse ? null : draft.day, reason: text };
  if (kind === 'accept') return { kind, version, review: draft.day, reason: text };
  const visit = visitOf(draft.visit, units);
  return typeof visit === 'string' ? visit : { kind, version, ...visit, done: text };
}

interface FieldsProps {
  draft: Draft;
  change: (change: Partial<Draft>) => void;
}

function HandOverFields({ draft, change }: FieldsProps) {
  const { data } = useQuery(peopleQuery);
  const able = data?.people.filter(({ role }) => role !== 'reader') ?? [];
  return (
    <>
      <label className="field">
        To
        <select
          required
          value={draft.assignee}
          onChange={(event) => change({ assignee: event.target.value })}
        >
          <option value="">choose a person</option>
          {able.map(({ id, name, role }) => (
            <option key={id} value={id}>
              {name}, {roleWords[role]}
            </option>
          ))}
        </select>
      </label>
      <Day label="Due on" value={draft.day} change={(day) => change({ day })} />
    </>
  );
}

function PutOffFields({ draft, change }: FieldsProps) {
  return (
    <>
      <label className="tick">
        <input
          type="checkbox"
          checked={draft.untilWorse}
          onChange={({ target }) => change({ untilWorse: target.checked })}
        />
        until it becomes more urgent
      </label>
      {!draft.untilWorse && <Day label="Until" value={draft.day} change={(day) => change({ day })} />}
      <p className="small quiet">It also comes back at once when it becomes more urgent.</p>
    </>
  );
}

function Day({ label, value, change }: { label: string; value: string; change: (day: string) => void }) {
  const offer = (days: number, words: string): ReactNode => (
    <button type="button" className="button small" onClick={() => change(inDays(days))}>
      {words}
    </button>
  );
  return (
    <div className="field">
      <label className="field">
        {label}
        <input type="date" required value={value} onChange={(event) => change(event.target.value)} />
      </label>
      <div className="decisions-choice">
        {offer(1, 'tomorrow')} {offer(7, 'in a week')} {offer(30, 'in a month')}
      </div>
    </div>
  );
}

interface WordsProps {
  label: string;
  required: boolean;
  value: string;
  change: (text: string) => void;
}

function Words({ label, required, value, change }: WordsProps) {
  return (
    <label className="field">
      {label}
      <textarea
        rows={3}
        required={required}
        maxLength={2000}
        value={value}
        onChange={(event) => change(event.target.value)}
      />
    </label>
  );
}
