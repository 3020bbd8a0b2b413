import './unread.css';
import { useQuery } from '@tanstack/react-query';
import { useState } from 'react';
import type { Unread } from '../../api/types.js';
import { links, unreadQuery } from '../../api/queries.js';
import { PageTitle } from '../../components/page-title.js';
import { Failed, Loading, TooLittle } from '../../components/states.js';
import { decimals, formatInstant } from '../../quantities/format-quantity.js';
import { MissingTelemetrySection } from './missing-telemetry.js';

/** What could not be read, kept whole with its reason. */
export function UnreadPage() {
  const [page, setPage] = useState(1);
  const [reason, setReason] = useState<string | undefined>(undefined);
  const choose = (next: string | undefined) => {
    setReason(next);
    setPage(1);
  };
  const unread = useQuery(unreadQuery(page, reason));
  return (
    <>
      <PageTitle>Unread messages – Coldrounds</PageTitle>
      <h1>Unread messages</h1>
      <p className="unread-lead">
        Messages that could not be read. Each is kept with the reason, in full up to a limit a day for each
        sender; all others were processed.
      </p>
      {unread.isPending ? (
        <Loading what="the messages" />
      ) : unread.isError ? (
        <Failed what="the messages" error={unread.error} retry={() => void unread.refetch()} />
      ) : unread.data.total === 0 && reason === undefined ? (
        <TooLittle>Every message so far could be read.</TooLittle>
      ) : (
        <>
          <Reasons reasons={unread.data.reasons} chosen={reason} choose={choose} />
          <NotKept counts={unread.data.notKept} />
          <ul className="unread">
            {unread.data.messages.map((message) => (
              <Message key={message.id} message={message} />
            ))}
          </ul>
          {unread.data.pages > 1 && <Pages page={page} pages={unread.data.pages} turn={setPage} />}
        </>
      )}
      <MissingTelemetrySection />
    </>
  );
}

/** `not-json` as `not JSON`, `out-of-range` as `out of range`. */
export const reasonWords = (reason: string): string =>
  reason
    .replaceAll('-', ' ')
    .replace(/\bjson\b/, 'JSON')
    .replace(/\bsenml\b/, 'SenML');

interface ReasonsProps {
  reasons: Unread['reasons'];
  chosen: string | undefined;
  choose: (reason: string | undefined) => void;
}

function Reasons({ reasons, chosen, choose }: ReasonsProps) {
  const one = (reason: string | undefined, words: string) => (
    <button
      key={reason ?? ''}
      type="button"
      className="button small"
      aria-pressed={chosen === reason}
      onClick={() => choose(reason)}
    >
      {words}
    </button>
  );
  return (
    <div className="choice unread-reasons" role="group" aria-label="Reason">
      {one(undefined, 'all reasons')}
      {reasons.map((entry) => one(entry.reason, `${reasonWords(entry.reason)} ${entry.count}`))}
    </div>
  );
}

/** Over the quota of their sender: only their number is known. */
function NotKept({ counts }: { counts: Unread['notKept'] }) {
  if (counts.length === 0) return null;
  return (
    <ul className="unread-counted">
      {counts.map(({ source, reason, count }) => (
        <li key={`${source} ${reason}`}>
          {decimals(count, 0)} more from {source === 'unknown' ? 'unknown senders' : <code>{source}</code>} (
          {reasonWords(reason)}) are counted, not kept: only the first of each day are kept in full.
        </li>
      ))}
    </ul>
  );
}

function Message({ message }: { message: Unread['messages'][number] }) {
  return (
    <li>
      <p>
        <strong>{message.detail}</strong>
      </p>
      <p className="small quiet">
        {formatInstant(Date.parse(message.receivedAt) / 1000)} on <code>{message.topic}</code>,{' '}
        {decimals(message.bytes, 0)} bytes{!message.text && ', shown as hexadecimal digits'}.{' '}
        <a href={links.payload(message.id)} download>
          Full message
        </a>
      </p>
      <pre>{message.preview}</pre>
    </li>
  );
}

function Pages({ page, pages, turn }: { page: number; pages: number; turn: (page: number) => void }) {
  return (
    <p className="unread-pages">
      <button type="button" className="button small" disabled={page <= 1} onClick={() => turn(page - 1)}>
        newer
      </button>
      <span>
        page {page} of {pages}
      </span>
      <button type="button" className="button small" disabled={page >= pages} onClick={() => turn(page + 1)}>
        older
      </button>
    </p>
  );
}
