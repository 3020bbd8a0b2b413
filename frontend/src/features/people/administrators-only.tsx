import { useQuery } from '@tanstack/react-query';
import type { ReactNode } from 'react';
import { sessionQuery } from '../../api/people.js';
import { Loading } from '../../components/states.js';
import { roleWords } from './role-words.js';

/** Shows its content to administrators; anybody else is told why it is not there, before a form is filled in for nothing. */
export function AdministratorsOnly({ children }: { children: ReactNode }) {
  const { data: session } = useQuery(sessionQuery);
  if (session === undefined) return <Loading what="your account" />;
  const { person } = session;
  if (person !== null && person.abilities.includes('administer')) return children;
  return (
    <p className="notice">
      This page is for administrators
      {person === null ? '.' : `; you are here as ${roleWords[person.role]}.`} What you may do yourself is on
      the page of your own account.
    </p>
  );
}
