import '../people.css';
import { useMutation, useQuery, useQueryClient } from '@tanstack/react-query';
import { Link } from '@tanstack/react-router';
import { useState } from 'react';
import { PageTitle } from '../../../components/page-title.js';
import { FormError } from '../../../components/form-error.js';
import {
  accountsQuery,
  changeAccount,
  invite,
  newPasswordLink,
  type Account,
  type PersonRole,
} from '../../../api/people.js';
import { Failed, Loading } from '../../../components/states.js';
import { formatInstant } from '../../../quantities/format-quantity.js';
import { AdministratorsOnly } from '../administrators-only.js';
import { Field } from '../field.js';
import { SecondFactorRule } from './second-factor-rule.js';
import { SignInMeans } from './sign-in-means.js';
import { roleMeaning, roleWords } from '../role-words.js';

const roles = Object.keys(roleWords) as PersonRole[];

/** `a, b` as keys; nothing typed: all sites. */
const sitesOf = (text: string): string[] | null => {
  const keys = text.split(/[\s,]+/).filter((key) => key !== '');
  return keys.length === 0 ? null : keys;
};

const whole = (path: string) => `${window.location.origin}${path}`;

/** For administrators: who has an account, and what it may do. */
export function AccountsPage() {
  return (
    <>
      <PageTitle>Accounts – Coldrounds</PageTitle>
      <h1>Accounts</h1>
      <AdministratorsOnly>
        <p>
          <Link to="/log">Who did what</Link>
        </p>
        <InviteForm />
        <SecondFactorRule />
        <AccountList />
      </AdministratorsOnly>
    </>
  );
}

function AccountList() {
  const accounts = useQuery(accountsQuery);
  return (
    <>
      {accounts.isPending ? (
        <Loading what="the accounts" />
      ) : accounts.isError ? (
        <Failed what="the accounts" error={accounts.error} retry={() => void accounts.refetch()} />
      ) : (
        <ul className="people-list">
          {accounts.data.accounts.map((account) => (
            <AccountEntry key={account.id} account={account} />
          ))}
        </ul>
      )}
    </>
  );
}

function InviteForm() {
  const [name, setName] = useState('');
  const [email, setEmail] = useState('');
  const [role, setRole] = useState<PersonRole>('technician');
  const [sites, setSites] = useState('');
  const inviting = useMutation({ mutationFn: invite });
  return (
    <form
      className="form"
      onSubmit={(event) => {
        event.preventDefault();
        inviting.mutate({ name, email, role, sites: sitesOf(sites) });
      }}
    >
      <h2>Invite somebody</h2>
      <Field label="Name" value={name} onChange={setName} />
      <Field label="E-mail" type="email" value={email} onChange={setEmail} />
      <RoleChoice role={role} choose={setRole} />
      <SitesField value={sites} onChange={setSites} />
      <FormError why={inviting.error?.message} />
      {inviting.isSuccess && (
        <p className="notice" role="status">
          Pass this link on; it works once, within a week: <code>{whole(inviting.data.path)}</code>
        </p>
      )}
      <button type="submit" className="button" disabled={inviting.isPending}>
        Make a link
      </button>
    </form>
  );
}

function RoleChoice({ role, choose }: { role: PersonRole; choose: (role: PersonRole) => void }) {
  return (
    <label className="field">
      Role
      <select value={role} onChange={(event) => choose(event.target.value as PersonRole)}>
        {roles.map((one) => (
          <option key={one} value={one}>
            {roleWords[one]}: {roleMeaning[one]}
          </option>
        ))}
      </select>
    </label>
  );
}

function AccountEntry({ account }: { account: Account }) {
  const [open, setOpen] = useState(false);
  const link = useMutation({ mutationFn: newPasswordLink });
  return (
    <li>
      <p>
        <strong>{account.name}</strong>, {roleWords[account.role]}
        {account.email !== null && `, ${account.email}`}
        {!account.active && ', closed'}
        {account.invented && ', invented for the demo'}
        {account.secondFactor && ', with a second factor'}
      </p>
      <p className="small quiet">
        {account.sites === null ? 'all sites' : `sites ${account.sites.join(', ')}`};{' '}
        {account.signedInAt === null
          ? 'never signed in'
          : `last signed in ${formatInstant(Date.parse(account.signedInAt) / 1000)}`}
      </p>
      {!account.invented && (
        <>
          <button type="button" className="button small" aria-expanded={open} onClick={() => setOpen(!open)}>
            Change {account.name}’s account
          </button>{' '}
          <button type="button" className="button small" onClick={() => link.mutate(account.id)}>
            Link for {account.name}’s new password
          </button>{' '}
          <SignInMeans account={account} />
        </>
      )}
      {link.isSuccess && (
        <p className="notice" role="status">
          It works once, within a day: <code>{whole(link.data.path)}</code>
        </p>
      )}
      {open && <ChangeForm account={account} />}
    </li>
  );
}

function ChangeForm({ account }: { account: Account }) {
  const queries = useQueryClient();
  const [name, setName] = useState(account.name);
  const [role, setRole] = useState(account.role);
  const [sites, setSites] = useState(account.sites?.join(', ') ?? '');
  const [active, setActive] = useState(account.active);
  const changing = useMutation({
    mutationFn: () => changeAccount(account.id, { name, role, sites: sitesOf(sites), active }),
    onSuccess: () => void queries.invalidateQueries({ queryKey: accountsQuery.queryKey }),
  });
  return (
    <form
      className="form"
      onSubmit={(event) => {
        event.preventDefault();
        changing.mutate();
      }}
    >
      <Field label="Name" value={name} onChange={setName} />
      <RoleChoice role={role} choose={setRole} />
      <SitesField value={sites} onChange={setSites} />
      <label className="tick">
        <input type="checkbox" checked={active} onChange={({ target }) => setActive(target.checked)} />
        may sign in
      </label>
      <FormError why={changing.error?.message} />
      {changing.isSuccess && <p role="status">Saved.</p>}
      <button type="submit" className="button" disabled={changing.isPending}>
        Save
      </button>
    </form>
  );
}

/** The sites that somebody may see, as `sitesOf` reads them. */
function SitesField({ value, onChange }: { value: string; onChange: (value: string) => void }) {
  return (
    <Field
      label="Sites"
      hint="Keys of sites, separated by commas; left empty: all sites."
      required={false}
      value={value}
      onChange={onChange}
    />
  );
}
