import { useMutation, useQuery, useQueryClient } from '@tanstack/react-query';
import { useState } from 'react';
import {
  recoveryCodesQuery,
  renewRecoveryCodes,
  turnSecondFactorOff,
  type Person,
} from '../../../api/people.js';
import { FormError } from '../../../components/form-error.js';
import { count } from '../../../quantities/format-quantity.js';
import { CodeField, PasswordField } from '../field.js';
import { useNewSession } from '../use-session.js';
import { RecoveryCodes } from './recovery-codes.js';
import { SetUp } from './set-up.js';

/** A person's second factor: setting it up, new recovery codes, giving it up. */
export function SecondFactorSection({ person }: { person: Person }) {
  const begin = useNewSession();
  // Setting it up stays until its codes are kept, though the session is read anew meanwhile.
  const [settingUp, setSettingUp] = useState(person.secondFactor !== 'on');
  return (
    <section aria-labelledby="second-factor">
      <h2 id="second-factor">Second factor</h2>
      {person.secondFactor === 'on' && !settingUp ? (
        <InUse over={() => setSettingUp(true)} />
      ) : (
        <>
          <p className="quiet">
            At each sign-in, beside the password, a code from an authenticator on your telephone. Who signs in
            by OpenID has the second factor of the provider.
          </p>
          <SetUp
            done={(session) => {
              begin(session);
              setSettingUp(false);
            }}
          />
        </>
      )}
    </section>
  );
}

function InUse({ over }: { over: () => void }) {
  const begin = useNewSession();
  const queries = useQueryClient();
  const { data } = useQuery(recoveryCodesQuery);
  const [password, setPassword] = useState('');
  const [code, setCode] = useState('');
  const cleared = () => {
    setPassword('');
    setCode('');
  };
  const renewing = useMutation({
    mutationFn: renewRecoveryCodes,
    onSuccess: () => {
      cleared();
      void queries.invalidateQueries({ queryKey: recoveryCodesQuery.queryKey });
    },
  });
  const turningOff = useMutation({
    mutationFn: turnSecondFactorOff,
    onSuccess: (session) => {
      begin(session);
      over();
    },
  });
  return (
    <>
      <p>
        It is in use.
        {data !== undefined && ` ${count(data.left, 'recovery code is', 'recovery codes are')} left.`}
      </p>
      {renewing.isSuccess && <RecoveryCodes codes={renewing.data.recoveryCodes} />}
      <form
        className="form"
        onSubmit={(event) => {
          event.preventDefault();
          renewing.mutate({ password, code });
        }}
      >
        <PasswordField label="Your password, to change this" value={password} onChange={setPassword} />
        <CodeField label="Present code" value={code} onChange={setCode} />
        <FormError why={renewing.error?.message ?? turningOff.error?.message} />
        <button type="submit" className="button" disabled={renewing.isPending}>
          Make new recovery codes
        </button>
        <button
          type="button"
          className="button"
          disabled={turningOff.isPending || password === '' || code === ''}
          onClick={() => turningOff.mutate({ password, code })}
        >
          Remove the second factor
        </button>
      </form>
    </>
  );
}
