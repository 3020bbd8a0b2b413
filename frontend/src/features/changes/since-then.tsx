import { useQuery } from '@tanstack/react-query';
import { Link } from '@tanstack/react-router';
import { useState } from 'react';
import { changesQuery } from '../../api/queries.js';
import { changeCounts } from './change-words.js';
import { lastLook } from './last-look.js';
import { sinceInstant } from './since.js';

/** How much changed since the reader's last look, or since yesterday where there was none: the way to what it was. */
export function SinceThen() {
  const [{ moment, words }] = useState(() => {
    const now_ms = Date.now();
    const look_ms = lastLook(now_ms);
    return {
      moment: sinceInstant('look', look_ms, now_ms),
      words: look_ms === null ? 'Since yesterday' : 'Since your last look',
    };
  });
  const { data } = useQuery(changesQuery(moment, 1, 0));
  if (data === undefined) return null;
  if (!data.known) return <Link to="/changes">What changed</Link>;
  return (
    <>
      {words}: <Link to="/changes">{changeCounts(data.counts)}</Link>.
    </>
  );
}
