import './people.css';
import { useMutation, useQuery, useQueryClient } from '@tanstack/react-query';
import { Link } from '@tanstack/react-router';
import { useState } from 'react';
import { PageTitle } from '../../components/page-title.js';
import { FormError } from '../../components/form-error.js';
import {
  changePassword,
  makeToken,
  revokeToken,
  sessionQuery,
  tokensQuery,
  type ApiToken,
  type Person,
  type TokenScope,
} from '../../api/people.js';
import { Failed, Loading } from '../../components/states.js';
import { formatInstant } from '../../quantities/format-quantity.js';
import { Field, PasswordField } from './field.js';
import { roleWords, scopeWords } from './role-words.js';
import { SecondFactorSection } from './second-factor/second-factor-section.js';
import { SessionsSection } from './sessions-section.js';
import { useNewSession } from './use-session.js';

const at = (instant: string) => formatInstant(Date.parse(instant) / 1000);

/** One's own account: password, and tokens for machines. */
export function AccountPage() {
  const { data: session } = useQuery(sessionQuery);
  const person = session?.person;
  return (
    <>
      <PageTitle>Your account – Coldrounds</PageTitle>
      <h1>Your account</h1>
      {person == null ? (
        <Loading what="your account" />
      ) : person.id === null ? (
        <p className="notice">
          Nobody has an account here yet. The server printed a link that makes the first.
        </p>
      ) : (
        <>
          <p>
            {person.name}, {roleWords[person.role]}
            {person.sites === null ? '' : `, for the sites ${person.sites.join(', ')}`}
          </p>
          <p>
            <Link to="/account/notices">Messages to you</Link>
          </p>
          {person.abilities.includes('administer') && (
            <p>
              <Link to="/accounts">Accounts</Link>, <Link to="/outgoing">messages that go out</Link>,{' '}
              <Link to="/log">who did what</Link>
            </p>
          )}
          {session?.mode === 'accounts' && (
            <>
              <PasswordForm />
              <SecondFactorSection person={person} />
              <SessionsSection />
            </>
          )}
          <Tokens person={person} />
        </>
      )}
    </>
  );
}

function PasswordForm() {
  const begin = useNewSession();
  const [current, setCurrent] = useState('');
  const [wanted, setWanted] = useState('');
  const change = useMutation({
    mutationFn: changePassword,
    onSuccess: (session) => {
      begin(session);
      setCurrent('');
      setWanted('');
    },
  });
  return (
    <form
      className="form"
      onSubmit={(event) => {
        event.preventDefault();
        change.mutate({ current, wanted });
      }}
    >
      <h2>Password</h2>
      <PasswordField label="Present password" value={current} onChange={setCurrent} />
      <Field
        label="New password"
        type="password"
        autoComplete="new-password"
        hint="12 characters or more. Everywhere else you are signed out."
        value={wanted}
        onChange={setWanted}
      />
      <FormError why={change.error?.message} />
      {change.isSuccess && <p role="status">The password is changed.</p>}
      <button type="submit" className="button" disabled={change.isPending}>
        Change the password
      </button>
    </form>
  );
}

function Tokens({ person }: { person: Person }) {
  const queries = useQueryClient();
  const tokens = useQuery(tokensQuery);
  const [name, setName] = useState('');
  const [scopes, setScopes] = useState<TokenScope[]>(['read']);
  const [days, setDays] = useState('90');
  const refresh = () => void queries.invalidateQueries({ queryKey: tokensQuery.queryKey });
  const making = useMutation({ mutationFn: makeToken, onSuccess: refresh });
  const revoking = useMutation({ mutationFn: revokeToken, onSuccess: refresh });
  const offered = (Object.keys(scopeWords) as TokenScope[]).filter((scope) =>
    person.abilities.includes(scope),
  );
  return (
    <>
      <form
        className="form"
        onSubmit={(event) => {
          event.preventDefault();
          making.mutate({ name, scopes, days: Number(days) });
        }}
      >
        <h2>API tokens</h2>
        <p className="quiet">
          For programs that ask this server. Each may do what is ticked, and no more than you may.
        </p>
        <Field label="What it is for" value={name} onChange={setName} />
        <fieldset>
          <legend>It may</legend>
          {offered.map((scope) => (
            <label key={scope} className="tick">
              <input
                type="checkbox"
                checked={scopes.includes(scope)}
                onChange={({ target }) =>
                  setScopes(target.checked ? [...scopes, scope] : scopes.filter((other) => other !== scope))
                }
              />
              {scopeWords[scope]}
            </label>
          ))}
        </fieldset>
        <Field label="Valid for days (366 at most)" type="number" value={days} onChange={setDays} />
        <FormError why={making.error?.message} />
        {making.isSuccess && (
          <p className="notice" role="status">
            The token, shown only now: <code>{making.data.secret}</code>
          </p>
        )}
        <button type="submit" className="button" disabled={making.isPending || scopes.length === 0}>
          Make a token
        </button>
      </form>
      {tokens.isError ? (
        <Failed what="your tokens" error={tokens.error} />
      ) : (
        <TokenList tokens={tokens.data?.tokens ?? []} revoke={(id) => revoking.mutate(id)} />
      )}
    </>
  );
}

function TokenList({ tokens, revoke }: { tokens: ApiToken[]; revoke: (id: number) => void }) {
  if (tokens.length === 0) return null;
  return (
    <ul className="people-list">
      {tokens.map((token) => {
        const over = token.revokedAt !== null || Date.parse(token.expiresAt) < Date.now();
        return (
          <li key={token.id}>
            <p>
              <strong>{token.name}</strong>: {token.scopes.map((scope) => scopeWords[scope]).join('; ')}
            </p>
            <p className="small quiet">
              {token.revokedAt !== null
                ? `revoked ${at(token.revokedAt)}`
                : `${over ? 'expired' : 'valid until'} ${at(token.expiresAt)}`}
              {token.usedAt === null ? ', never used' : `, last used ${at(token.usedAt)}`}
            </p>
            {!over && (
              <button type="button" className="button small" onClick={() => revoke(token.id)}>
                Revoke
              </button>
            )}
          </li>
        );
      })}
    </ul>
  );
}
