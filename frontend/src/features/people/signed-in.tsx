import { useQuery } from '@tanstack/react-query';
import { useLocation } from '@tanstack/react-router';
import { lazy, Suspense, useState, type ReactNode } from 'react';
import { sessionQuery } from '../../api/people.js';
import { Loading } from '../../components/states.js';

const SignInForm = lazy(async () => ({ default: (await import('./sign-in-form.js')).SignInForm }));
const SecondFactorFirst = lazy(async () => ({
  default: (await import('./second-factor/second-factor-first.js')).SecondFactorFirst,
}));

/** Shows its page to whoever may be here, and the sign-in to anybody else. */
export function SignedIn({ children }: { children: ReactNode }) {
  const { data: session } = useQuery(sessionQuery);
  const { pathname } = useLocation();
  const [settingUp, setSettingUp] = useState(false);
  if (session?.person === null && pathname !== '/join')
    return (
      <Suspense fallback={null}>
        <SignInForm />
      </Suspense>
    );
  // It stays until its codes are kept, though the session is read anew meanwhile.
  if (!settingUp && session?.person?.secondFactor === 'needed') setSettingUp(true);
  if (settingUp)
    return (
      <Suspense fallback={<Loading what="your account" />}>
        <SecondFactorFirst done={() => setSettingUp(false)} />
      </Suspense>
    );
  return children;
}
