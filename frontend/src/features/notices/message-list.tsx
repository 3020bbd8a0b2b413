import type { ReactNode } from 'react';
import type { SentMessage } from '../../api/notices.js';
import { formatInstant } from '../../quantities/format-quantity.js';
import { stateWords } from './notice-words.js';

const at = (instant: string) => formatInstant(Date.parse(instant) / 1000);

/** Messages and what became of each. */
export function MessageList({
  messages,
  none,
  withWhom = false,
  action,
}: {
  messages: readonly SentMessage[];
  none: string;
  /** Whether it is said to whom each goes. */
  withWhom?: boolean;
  action?: (message: SentMessage) => ReactNode;
}) {
  if (messages.length === 0) return <p className="quiet">{none}</p>;
  return (
    <ul className="people-list">
      {messages.map((message) => (
        <li key={message.id}>
          <p>
            {withWhom && <strong>{message.to}: </strong>}
            {message.about}
          </p>
          <p className="small quiet">
            written {at(message.madeAt)}, {stateWords(message, at)}
          </p>
          {message.lastError !== null && message.state !== 'sent' && (
            <p className="small">{message.lastError}</p>
          )}
          {action?.(message)}
        </li>
      ))}
    </ul>
  );
}
