import './people.css';
import { useMutation, useQuery } from '@tanstack/react-query';
import { useState } from 'react';
import { PageTitle } from '../../components/page-title.js';
import { FormError } from '../../components/form-error.js';
import { ReadError } from '../../api/client.js';
import { sessionQuery, signIn } from '../../api/people.js';
import { CodeField, Field, PasswordField } from './field.js';
import { useNewSession } from './use-session.js';

/** What the server says after a sign-in at the provider, by the end of the address. */
const afterProvider: Record<string, string> = {
  '#sign-in-failed': 'The sign-in at the provider did not succeed. Try again.',
  '#no-account': 'There is no account for you here. An administrator of this server can make one.',
};

export function SignInForm() {
  const begin = useNewSession();
  const { data: session } = useQuery(sessionQuery);
  const [said] = useState(() => afterProvider[window.location.hash]);
  const [email, setEmail] = useState('');
  const [password, setPassword] = useState('');
  const [code, setCode] = useState('');
  const [codeAsked, setCodeAsked] = useState(false);
  const attempt = useMutation({
    mutationFn: signIn,
    onSuccess: begin,
    onError: (error) => {
      if (error instanceof ReadError && error.fields.includes('code')) setCodeAsked(true);
    },
  });
  return (
    <form
      className="form"
      onSubmit={(event) => {
        event.preventDefault();
        attempt.mutate({ email, password, code: codeAsked ? code : undefined });
      }}
    >
      <PageTitle>Sign in – Coldrounds</PageTitle>
      <h1>Sign in</h1>
      {said !== undefined && (
        <p className="notice" role="alert">
          {said}
        </p>
      )}
      {session?.openId != null && (
        <a
          className="button"
          href={`/api/sign-in/openid?to=${encodeURIComponent(window.location.pathname + window.location.search)}`}
        >
          Sign in by {session.openId}
        </a>
      )}
      <Field label="E-mail" type="email" autoComplete="username" value={email} onChange={setEmail} />
      <PasswordField label="Password" value={password} onChange={setPassword} />
      {codeAsked && (
        <CodeField
          label="Code"
          hint="Of your authenticator, or one of your recovery codes."
          value={code}
          onChange={setCode}
          focused
        />
      )}
      <FormError why={attempt.error?.message} />
      <button type="submit" className="button" disabled={attempt.isPending}>
        Sign in
      </button>
      <p className="quiet small">
        No account, or the password is lost? An administrator of this server can send you a link.
      </p>
    </form>
  );
}
