import '../people/people.css';
import './notices.css';
import { useMutation, useQuery, useQueryClient } from '@tanstack/react-query';
import { Link } from '@tanstack/react-router';
import { checkMail, deadLettersQuery, mailQuery, sendAgain, type MailState } from '../../api/notices.js';
import { PageTitle } from '../../components/page-title.js';
import { FormError } from '../../components/form-error.js';
import { Failed, Loading } from '../../components/states.js';
import { count, formatInstant } from '../../quantities/format-quantity.js';
import { AdministratorsOnly } from '../people/administrators-only.js';
import { MessageList } from './message-list.js';
import { WebhookSection } from './webhook-section.js';

/** For administrators: the mail server, webhooks, and messages that were given up. */
export function OutgoingPage() {
  return (
    <>
      <PageTitle>Messages that go out – Coldrounds</PageTitle>
      <h1>Messages that go out</h1>
      <AdministratorsOnly>
        <p>
          <Link to="/accounts">Accounts</Link>, <Link to="/log">who did what</Link>
        </p>
        <MailSection />
        <WebhookSection />
        <DeadLetterSection />
      </AdministratorsOnly>
    </>
  );
}

function MailSection() {
  const mail = useQuery(mailQuery);
  return (
    <section className="outgoing">
      <h2>Mail server</h2>
      {mail.isPending ? (
        <Loading what="the mail server" />
      ) : mail.isError ? (
        <Failed what="the mail server" error={mail.error} retry={() => void mail.refetch()} />
      ) : (
        <MailFacts mail={mail.data} />
      )}
    </section>
  );
}

const tlsWords = {
  starttls: 'TLS is required (STARTTLS)',
  implicit: 'TLS from the start',
  off: 'without TLS',
} as const;

function MailFacts({ mail: { server, waiting, dead, lastSent } }: { mail: MailState }) {
  const checking = useMutation({ mutationFn: checkMail });
  if (server === null)
    return (
      <p className="notice">
        None is set, so digests and alerts are off. Set <code>SMTP_HOST</code>, <code>SMTP_FROM</code> and,
        where the server asks for them, <code>SMTP_USER</code> and <code>SMTP_PASSWORD_FILE</code>, then start
        again.
      </p>
    );
  return (
    <>
      <p>
        <strong>
          {server.host}, port {server.port}
        </strong>
        , {tlsWords[server.tls]}, {server.user === null ? 'without sign-in' : `as ${server.user}`}, from{' '}
        {server.from}
      </p>
      <p className="quiet">
        {lastSent === null
          ? 'Nothing has been sent yet'
          : `Last message sent ${formatInstant(Date.parse(lastSent) / 1000)}`}
        ; {count(waiting, 'message')} waiting, {dead} given up.
      </p>
      <button
        type="button"
        className="button"
        disabled={checking.isPending}
        onClick={() => checking.mutate()}
      >
        Check the connection
      </button>
      <FormError why={checking.error?.message} />
      {checking.isSuccess && (
        <p role="status">
          {checking.data.ok ? 'The mail server lets this server in.' : checking.data.problem}
        </p>
      )}
    </>
  );
}

function DeadLetterSection() {
  const queries = useQueryClient();
  const letters = useQuery(deadLettersQuery);
  const again = useMutation({
    mutationFn: sendAgain,
    onSuccess: (data) => queries.setQueryData(deadLettersQuery.queryKey, data),
  });
  return (
    <section className="outgoing">
      <h2>Given up</h2>
      <p className="quiet">
        Messages that nobody took in eight tries over 20 hours, or that were refused for good.
      </p>
      {letters.isPending ? (
        <Loading what="these messages" />
      ) : letters.isError ? (
        <Failed what="these messages" error={letters.error} retry={() => void letters.refetch()} />
      ) : (
        <MessageList
          messages={letters.data.letters}
          none="None."
          withWhom
          action={({ id, about, to }) => (
            <button
              type="button"
              className="button small"
              disabled={again.isPending}
              onClick={() => again.mutate(id)}
            >
              Send again<span className="hidden-visually">: {`${about} to ${to}`}</span>
            </button>
          )}
        />
      )}
      <FormError why={again.error?.message} />
    </section>
  );
}
