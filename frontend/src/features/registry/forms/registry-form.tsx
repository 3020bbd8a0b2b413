import { useState, type ReactNode } from 'react';
import type { Because } from '../../../api/registry/registry.js';
import { FormError } from '../../../components/form-error.js';
import { BecauseFields, becauseOf, type BecauseValues } from './because-fields.js';
import { useSaving } from './use-saving.js';

interface RegistryFormProps<Draft> {
  what: 'site' | 'unit';
  isNew: boolean;
  /** What is typed, or what is still missing in words. */
  draft: () => Draft | string;
  /** Of the site: from which of its days on a change holds. */
  timeZone: string;
  save: (draft: Draft, because: Because) => Promise<unknown>;
  children: ReactNode;
}

/** The frame of a form that registers something or changes it: asks why and since when, sends it, and says what is wrong. */
export function RegistryForm<Draft extends object>({
  what,
  isNew,
  draft,
  timeZone,
  save,
  children,
}: RegistryFormProps<Draft>) {
  const [because, setBecause] = useState<BecauseValues>({ reason: '', since: '', day: '' });
  const { saving, trouble, setTrouble, save: saved } = useSaving();
  const submit = async () => {
    const wanted = draft();
    const said = isNew ? { reason: 'First registration.', holdsFrom: null } : becauseOf(because, timeZone);
    if (typeof wanted === 'string') return setTrouble(wanted);
    if (typeof said === 'string') return setTrouble(said);
    await saved(() => save(wanted, said));
  };
  return (
    <form
      className="form registry-form"
      noValidate
      onSubmit={(event) => {
        event.preventDefault();
        void submit();
      }}
    >
      {children}
      {!isNew && (
        <BecauseFields values={because} change={(some) => setBecause((old) => ({ ...old, ...some }))} />
      )}
      <FormError why={trouble} />
      <button type="submit" className="button" disabled={saving}>
        {isNew ? `Add the ${what}` : 'Save the change'}
      </button>
    </form>
  );
}
