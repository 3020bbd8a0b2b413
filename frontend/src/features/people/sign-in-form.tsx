import './people.css';
import { useMutation } from '@tanstack/react-query';
import { useState } from 'react';
import { FormError } from '../../components/form-error.js';
import { signIn } from '../../api/people.js';
import { Field } from './field.js';
import { useNewSession } from './use-session.js';

export function SignInForm() {
  const begin = useNewSession();
  const [email, setEmail] = useState('');
  const [password, setPassword] = useState('');
  const attempt = useMutation({ mutationFn: signIn, onSuccess: begin });
  return (
    <form
      className="form"
      onSubmit={(event) => {
        event.preventDefault();
        attempt.mutate({ email, password });
      }}
    >
      <title>Sign in – Coldrounds</title>
      <h1>Sign in</h1>
      <Field label="E-mail" type="email" autoComplete="username" value={email} onChange={setEmail} />
      <Field
        label="Password"
        type="password"
        autoComplete="current-password"
        value={password}
        onChange={setPassword}
      />
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
