import './people.css';
import { useMutation, useQuery } from '@tanstack/react-query';
import { useNavigate } from '@tanstack/react-router';
import { useState } from 'react';
import { PageTitle } from '../../components/page-title.js';
import { FormError } from '../../components/form-error.js';
import { join, lookAtInvitation } from '../../api/people.js';
import { Failed, Loading } from '../../components/states.js';
import { Field } from './field.js';
import { useNewSession } from './use-session.js';

/** Where a one-time link leads: makes the account, or sets a new password. */
export function JoinPage() {
  const [token] = useState(() => window.location.hash.slice(1));
  const invitation = useQuery({
    queryKey: ['invitation'],
    queryFn: () => lookAtInvitation(token),
    enabled: token !== '',
    retry: false,
    staleTime: Infinity,
  });
  return (
    <>
      <PageTitle>Your account – Coldrounds</PageTitle>
      <h1>{invitation.data?.kind === 'password' ? 'Set a new password' : 'Make your account'}</h1>
      {token === '' ? (
        <p>This address is not complete. Open the link of the invitation as it was sent to you.</p>
      ) : invitation.isPending ? (
        <Loading what="the invitation" />
      ) : invitation.isError ? (
        <Failed what="the invitation" error={invitation.error} />
      ) : (
        <JoinForm token={token} known={invitation.data} />
      )}
    </>
  );
}

function JoinForm({ token, known }: { token: string; known: { name: string | null; email: string | null } }) {
  const begin = useNewSession();
  const navigate = useNavigate();
  const [name, setName] = useState(known.name ?? '');
  const [email, setEmail] = useState(known.email ?? '');
  const [password, setPassword] = useState('');
  const joining = useMutation({
    mutationFn: join,
    onSuccess: (session) => {
      // With a second factor the new password is only used: the sign-in comes next.
      begin(session);
      void navigate({ to: '/' });
    },
  });
  return (
    <form
      className="form"
      onSubmit={(event) => {
        event.preventDefault();
        joining.mutate({
          token,
          password,
          name: known.name === null ? name : undefined,
          email: known.email === null ? email : undefined,
        });
      }}
    >
      {known.name === null ? (
        <Field label="Name" autoComplete="name" value={name} onChange={setName} />
      ) : (
        <p>For {known.name}</p>
      )}
      {known.email === null ? (
        <Field label="E-mail" type="email" autoComplete="username" value={email} onChange={setEmail} />
      ) : (
        <p>
          You sign in as <strong>{known.email}</strong>.
        </p>
      )}
      <Field
        label="Password"
        type="password"
        autoComplete="new-password"
        hint="12 characters or more; a few words in a row are easy to keep in mind."
        value={password}
        onChange={setPassword}
      />
      <FormError why={joining.error?.message} />
      <button type="submit" className="button" disabled={joining.isPending}>
        Go on
      </button>
    </form>
  );
}
