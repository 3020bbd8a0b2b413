import { useQuery } from '@tanstack/react-query';
import { useLocation } from '@tanstack/react-router';
import type { ReactNode } from 'react';
import { sessionQuery } from '../../api/people.js';
import { SignInForm } from './sign-in-form.js';

/** Shows its page to whoever may be here, and the sign-in to anybody else. */
export function SignedIn({ children }: { children: ReactNode }) {
  const { data: session } = useQuery(sessionQuery);
  const { pathname } = useLocation();
  if (session?.person === null && pathname !== '/join') return <SignInForm />;
  return children;
}
