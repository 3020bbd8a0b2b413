import '../people.css';
import { PageTitle } from '../../../components/page-title.js';
import { useNewSession } from '../use-session.js';
import { SetUp } from './set-up.js';

/** For somebody whose role needs a second factor and who has none yet. */
export function SecondFactorFirst({ done }: { done: () => void }) {
  const begin = useNewSession();
  return (
    <>
      <PageTitle>Second factor – Coldrounds</PageTitle>
      <h1>Set up a second factor</h1>
      <p>
        Your role needs one: at each sign-in, beside the password, a code from an authenticator on your
        telephone.
      </p>
      <SetUp
        done={(session) => {
          begin(session);
          done();
        }}
      />
    </>
  );
}
