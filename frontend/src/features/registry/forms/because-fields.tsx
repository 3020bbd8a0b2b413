import type { Because } from '../../../api/registry/registry.js';
import { instantOf_ms, type Zone } from '../../../quantities/site-time.js';

/** Why something is changed and from when on it holds, as typed. */
export interface BecauseValues {
  reason: string;
  since: '' | 'always' | 'date';
  day: string;
}

/** Midnight of a day by the clock of a zone. */
const midnight = (day: string, zone: Zone): string =>
  new Date(instantOf_ms(Date.parse(`${day}T00:00:00Z`), zone)).toISOString();

/** As it is sent, or what is missing. */
export function becauseOf({ reason, since, day }: BecauseValues, zone: Zone): Because | string {
  if (since === '') return 'Since when does it hold?';
  if (since === 'date' && day === '') return 'Since which day does it hold?';
  if (reason.trim() === '') return 'Why is it changed?';
  return { reason: reason.trim(), holdsFrom: since === 'always' ? null : midnight(day, zone) };
}

interface BecauseFieldsProps {
  values: BecauseValues;
  change: (change: Partial<BecauseValues>) => void;
}

export function BecauseFields({ values, change }: BecauseFieldsProps) {
  return (
    <fieldset>
      <legend>Why, and since when</legend>
      <div className="form-row">
        <label className="field">
          It holds
          <select
            required
            value={values.since}
            onChange={({ target }) => change({ since: target.value as BecauseValues['since'] })}
          >
            <option value="">choose</option>
            <option value="always">always: it was registered wrong</option>
            <option value="date">since a day: it was changed then</option>
          </select>
        </label>
        {values.since === 'date' && (
          <label className="field">
            Since
            <input
              type="date"
              required
              value={values.day}
              max={new Date().toISOString().slice(0, 10)}
              onChange={({ target }) => change({ day: target.value })}
            />
          </label>
        )}
        <label className="field">
          Reason
          <input
            required
            maxLength={500}
            value={values.reason}
            onChange={({ target }) => change({ reason: target.value })}
          />
        </label>
      </div>
      <p className="quiet small">
        Readings since then are converted and judged again by what is changed here; those before it stay
        judged by what was true then.
      </p>
    </fieldset>
  );
}
