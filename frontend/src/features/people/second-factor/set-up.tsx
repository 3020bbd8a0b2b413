import { useMutation } from '@tanstack/react-query';
import { useState } from 'react';
import { beginSecondFactor, confirmSecondFactor, type Session } from '../../../api/people.js';
import { FormError } from '../../../components/form-error.js';
import { CodeField, PasswordField } from '../field.js';
import { QrCode } from './qr-code.js';
import { RecoveryCodes } from './recovery-codes.js';

/** Sets a second factor up: the password, the secret for the authenticator, its first code, the recovery codes. */
export function SetUp({ done }: { done: (session: Session) => void }) {
  const [password, setPassword] = useState('');
  const [code, setCode] = useState('');
  const beginning = useMutation({ mutationFn: beginSecondFactor });
  const confirming = useMutation({ mutationFn: confirmSecondFactor });
  if (confirming.isSuccess)
    return (
      <div className="form">
        <RecoveryCodes codes={confirming.data.recoveryCodes} />
        <button type="button" className="button" onClick={() => done(confirming.data.session)}>
          I have kept them
        </button>
      </div>
    );
  if (!beginning.isSuccess)
    return (
      <form
        className="form"
        onSubmit={(event) => {
          event.preventDefault();
          beginning.mutate(password);
        }}
      >
        <PasswordField label="Your password" value={password} onChange={setPassword} />
        <FormError why={beginning.error?.message} />
        <button type="submit" className="button" disabled={beginning.isPending}>
          Set up a second factor
        </button>
      </form>
    );
  const { secret, address } = beginning.data;
  return (
    <form
      className="form"
      onSubmit={(event) => {
        event.preventDefault();
        confirming.mutate(code);
      }}
    >
      <p>Scan this with the authenticator of your telephone, or type the secret into it.</p>
      <QrCode text={address} name="QR code of the secret below" />
      <p>
        <code>{secret.replace(/.{4}(?=.)/g, '$& ')}</code>
      </p>
      <CodeField
        label="The code it shows"
        hint="6 digits, a new one every 30 seconds. Everywhere else you are signed out."
        value={code}
        onChange={setCode}
      />
      <FormError why={confirming.error?.message} />
      <button type="submit" className="button" disabled={confirming.isPending}>
        Confirm
      </button>
    </form>
  );
}
