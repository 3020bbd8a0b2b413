import './unread.css';
import { useQuery } from '@tanstack/react-query';
import { useState } from 'react';
import { links, unreadQuery } from '../../api/queries.js';
import { Failed, Loading, TooLittle } from '../../components/states.js';
import { decimals, formatInstant } from '../../quantities/format-quantity.js';

/** What could not be read, kept whole with its reason. */
export function UnreadPage() {
  const [page, setPage] = useState(1);
  const [reason, setReason] = useState<string | undefined>(undefined);
  const unread = useQuery(unreadQuery(page, reason));
  return (
    <>
      <title>Unread messages – Coldrounds</title>
      <h1>Unread messages</h1>
      <p className="unread-lead">
        Messages that could not be read. Each is kept in full with the reason; all others were processed.
      </p>
      {unread.isPending ? (
        <Loading what="the messages" />
      ) : unread.isError ? (
        <Failed what="the messages" error={unread.error} retry={() => void unread.refetch()} />
      ) : unread.data.total === 0 && reason === undefined ? (
        <TooLittle>Every message so far could be read.</TooLittle>
      ) : (
        <>
          <div className="choice unread-reasons" role="group" aria-label="Reason">
            <button
              type="button"
              className="button small"
              aria-pressed={reason === undefined}
              onClick={() => {
                setReason(undefined);
                setPage(1);
              }}
            >
              all reasons
            </button>
            {unread.data.reasons.map((entry) => (
              <button
                key={entry.reason}
                type="button"
                className="button small"
                aria-pressed={reason === entry.reason}
                onClick={() => {
                  setReason(entry.reason);
                  setPage(1);
                }}
              >
                {entry.reason.replaceAll('-', ' ')} {entry.count}
              </button>
            ))}
          </div>
          <ul className="unread">
            {unread.data.messages.map((message) => (
              <li key={message.id}>
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
            ))}
          </ul>
          {unread.data.pages > 1 && (
            <p className="unread-pages">
              <button
                type="button"
                className="button small"
                disabled={page <= 1}
                onClick={() => setPage(page - 1)}
              >
                newer
              </button>
              <span>
                page {unread.data.page} of {unread.data.pages}
              </span>
              <button
                type="button"
                className="button small"
                disabled={page >= unread.data.pages}
                onClick={() => setPage(page + 1)}
              >
                older
              </button>
            </p>
          )}
        </>
      )}
    </>
  );
}
