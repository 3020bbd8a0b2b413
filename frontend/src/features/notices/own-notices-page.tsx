import '../people/people.css';
import { useMutation, useQuery, useQueryClient } from '@tanstack/react-query';
import { Link } from '@tanstack/react-router';
import { useId, useState } from 'react';
import {
  keepNotices,
  ownNoticesQuery,
  testNotices,
  type NoticeWish,
  type OwnNotices,
} from '../../api/notices.js';
import { PageTitle } from '../../components/page-title.js';
import { FormError } from '../../components/form-error.js';
import { Failed, Loading } from '../../components/states.js';
import { MessageList } from './message-list.js';
import { dayNames } from './notice-words.js';

/** What a person wants to be told by e-mail, and when. */
export function OwnNoticesPage() {
  const own = useQuery(ownNoticesQuery);
  return (
    <>
      <PageTitle>Messages to you – Coldrounds</PageTitle>
      <h1>Messages to you</h1>
      <p>
        <Link to="/account">Your account</Link>
      </p>
      {own.isPending ? (
        <Loading what="your messages" />
      ) : own.isError ? (
        <Failed what="your messages" error={own.error} retry={() => void own.refetch()} />
      ) : (
        <>
          <WhereTo own={own.data} />
          <WishForm key={own.data.email} own={own.data} />
          <h2>The last messages</h2>
          <MessageList messages={own.data.messages} none="None has been written yet." />
        </>
      )}
    </>
  );
}

function WhereTo({ own: { email, mailServer } }: { own: OwnNotices }) {
  if (email === null)
    return <p className="notice">This account has no e-mail address, so nothing can be sent to it.</p>;
  return mailServer ? (
    <p>
      Messages go to <strong>{email}</strong>.
    </p>
  ) : (
    <p className="notice">
      This server has no mail server yet, so nothing is sent. What you choose here is kept until an
      administrator sets one.
    </p>
  );
}

const myTimeZone = Intl.DateTimeFormat().resolvedOptions().timeZone;

function WishForm({ own }: { own: OwnNotices }) {
  const queries = useQueryClient();
  const [wish, setWish] = useState<NoticeWish>(
    own.wish.digestAt === null && !own.wish.alerts ? { ...own.wish, timeZone: myTimeZone } : own.wish,
  );
  const change = (part: Partial<NoticeWish>) => setWish({ ...wish, ...part });
  const answered = (data: OwnNotices) => queries.setQueryData(ownNoticesQuery.queryKey, data);
  const keeping = useMutation({ mutationFn: keepNotices, onSuccess: answered });
  const testing = useMutation({ mutationFn: testNotices, onSuccess: answered });
  const failure = keeping.error ?? testing.error;
  return (
    <form
      className="form"
      onSubmit={(event) => {
        event.preventDefault();
        keeping.mutate(wish);
      }}
    >
      <DigestFields wish={wish} change={change} />
      <AlertFields wish={wish} change={change} />
      <fieldset>
        <legend>Clock and units</legend>
        <TimeZoneField value={wish.timeZone} onChange={(timeZone) => change({ timeZone })} />
        <label className="field">
          Units
          <select
            value={wish.measures}
            onChange={({ target }) => change({ measures: target.value as NoticeWish['measures'] })}
          >
            <option value="si">SI</option>
            <option value="inch-pound">inch-pound</option>
          </select>
        </label>
      </fieldset>
      <FormError why={failure?.message} />
      {keeping.isSuccess && <p role="status">Kept.</p>}
      {testing.isSuccess && <p role="status">A test is on its way; below is what becomes of it.</p>}
      <button type="submit" className="button" disabled={keeping.isPending}>
        Keep
      </button>
      <button
        type="button"
        className="button"
        disabled={testing.isPending || own.email === null || !own.mailServer}
        onClick={() => testing.mutate()}
      >
        Send me a test
      </button>
    </form>
  );
}

interface Part {
  wish: NoticeWish;
  change: (part: Partial<NoticeWish>) => void;
}

function DigestFields({ wish, change }: Part) {
  const isOn = wish.digestAt !== null;
  const toggle = (day: number, on: boolean) => {
    const days = on ? [...wish.digestDays, day] : wish.digestDays.filter((other) => other !== day);
    if (days.length > 0) change({ digestDays: days.sort((a, b) => a - b) });
  };
  return (
    <fieldset>
      <legend>Digest</legend>
      <label className="tick">
        <input
          type="checkbox"
          checked={isOn}
          onChange={({ target }) => change({ digestAt: target.checked ? '07:00' : null })}
        />
        the round once a day, what changed, and what is handed over to you
      </label>
      {isOn && (
        <>
          <TimeField label="At" value={wish.digestAt!} onChange={(digestAt) => change({ digestAt })} />
          {dayNames.map((name, index) => (
            <label key={name} className="tick">
              <input
                type="checkbox"
                checked={wish.digestDays.includes(index + 1)}
                onChange={({ target }) => toggle(index + 1, target.checked)}
              />
              {name}
            </label>
          ))}
        </>
      )}
    </fieldset>
  );
}

function AlertFields({ wish, change }: Part) {
  const { quiet } = wish;
  return (
    <fieldset>
      <legend>Alerts</legend>
      <label className="tick">
        <input
          type="checkbox"
          checked={wish.alerts}
          onChange={({ target }) => change({ alerts: target.checked })}
        />
        at once, when a unit needs a look today
      </label>
      <p className="quiet small">
        At most once a day for each unit, unless another problem comes up there. For what needs a look already
        when you switch this on no message is sent.
      </p>
      <label className="tick">
        <input
          type="checkbox"
          checked={quiet !== null}
          onChange={({ target }) =>
            change({ quiet: target.checked ? { from: '20:00', until: '06:30' } : null })
          }
        />
        quiet hours
      </label>
      {quiet !== null && (
        <>
          <TimeField
            label="From"
            value={quiet.from}
            onChange={(from) => change({ quiet: { ...quiet, from } })}
          />
          <TimeField
            label="Until"
            value={quiet.until}
            onChange={(until) => change({ quiet: { ...quiet, until } })}
          />
        </>
      )}
    </fieldset>
  );
}

function TimeField({
  label,
  value,
  onChange,
}: {
  label: string;
  value: string;
  onChange: (value: string) => void;
}) {
  return (
    <label className="field">
      {label}
      <input type="time" required value={value} onChange={({ target }) => onChange(target.value)} />
    </label>
  );
}

function TimeZoneField({ value, onChange }: { value: string; onChange: (value: string) => void }) {
  const id = useId();
  return (
    <div className="field">
      <label htmlFor={id}>Time zone</label>
      <input
        id={id}
        list={`${id}-zones`}
        required
        value={value}
        onChange={({ target }) => onChange(target.value)}
      />
      <datalist id={`${id}-zones`}>
        {Intl.supportedValuesOf('timeZone').map((zone) => (
          <option key={zone} value={zone} />
        ))}
      </datalist>
    </div>
  );
}
