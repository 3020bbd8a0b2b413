import { outbox, useKept, useSending } from './use-outbox.js';

/** Says what was decided here and has not arrived, or was refused; else nothing. */
export function OutboxStrip() {
  const kept = useKept();
  const send = useSending();
  if (kept.length === 0) return null;
  const waiting = kept.filter(({ refused }) => refused === undefined);
  return (
    <div className="strip" role="status">
      {waiting.length > 0 && (
        <div className="strip-in">
          <span>
            {waiting.length === 1 ? 'One decision is' : `${waiting.length} decisions are`} kept on this device
            until the server answers.
          </span>
          <button type="button" className="button small" onClick={() => void send()}>
            Send now
          </button>
        </div>
      )}
      {kept
        .filter(({ refused }) => refused !== undefined)
        .map(({ about, refused, body }) => (
          <div key={body.key} className="strip-in">
            <span>
              <strong>Not taken:</strong> {about}. {refused} What you typed is still in the form.
            </span>
            <button type="button" className="button small" onClick={() => outbox.drop(body.key)}>
              Dismiss
            </button>
          </div>
        ))}
    </div>
  );
}
