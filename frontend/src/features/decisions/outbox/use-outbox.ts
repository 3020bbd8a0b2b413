import { useQueryClient } from '@tanstack/react-query';
import { useEffect, useSyncExternalStore } from 'react';
import { ReadError } from '../../../api/client.js';
import { decide } from '../../../api/decisions/decisions.js';
import { Outbox, type Kept } from './outbox.js';

const again_ms = 15_000;

export const outbox = new Outbox(() => {
  try {
    return localStorage;
  } catch {
    return null; // Storage can be refused; then a decision has to be sent at once.
  }
});

/** What waits in the outbox. */
export const useKept = (): Kept[] => useSyncExternalStore(outbox.listen, outbox.list);

/** Whether the server took a decision; it is away, or in no state to answer, when it says nothing of the decision. */
async function send({ finding, body }: Kept): Promise<'taken' | 'away' | { refused: string }> {
  try {
    await decide(finding, body);
    return 'taken';
  } catch (error) {
    const status = error instanceof ReadError ? error.status : null;
    if (status === null || status >= 500 || status === 429 || status === 401) return 'away';
    return { refused: (error as Error).message };
  }
}

/** Sends what waits, now and whenever there may be a connection again. */
export function useSending(): () => Promise<void> {
  const queries = useQueryClient();
  const sendNow = async () => {
    const before = outbox.list();
    await outbox.sendAll(send);
    if (outbox.list() === before) return;
    void queries.invalidateQueries({ queryKey: ['unit'] });
    void queries.invalidateQueries({ queryKey: ['round'] });
  };
  useEffect(() => {
    const look = () => void sendNow();
    const timer = setInterval(() => outbox.list().length > 0 && look(), again_ms);
    window.addEventListener('online', look);
    look();
    return () => {
      clearInterval(timer);
      window.removeEventListener('online', look);
    };
    // The query client is one for the whole page.
  }, []);
  return sendNow;
}
