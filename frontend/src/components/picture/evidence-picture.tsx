import './picture.css';
import { useQuery } from '@tanstack/react-query';
import { lazy, Suspense, useEffect, useRef, type ReactNode, type RefObject } from 'react';
import { evidenceQuery } from '../../api/queries.js';
import type { FindingEvidence } from '../../api/types.js';
import { useMoment } from '../moment.js';
import { useSeen } from './use-seen.js';

/** How far under the window a picture is fetched. */
const near_px = 60;

// What draws comes beside the data: the sentences that it belongs to are read first.
const drawings = () => import('./drawings.js');
const SmallPicture = lazy(async () => ({ default: (await drawings()).SmallPicture }));
const PrintedPicture = lazy(async () => ({ default: (await drawings()).PrintedPicture }));
const LargePicture = lazy(async () => ({ default: (await drawings()).LargePicture }));

interface Wanted {
  /** Though its place is far from the window. */
  atOnce?: boolean;
  /** One of a list, asked for with the others. */
  inList?: boolean;
}

/** What a finding's picture is drawn from, fetched once its place comes near the window; words where there is none. */
function useEvidence(
  findingId: string,
  box: RefObject<Element | null>,
  { atOnce = false, inList = false }: Wanted = {},
): { evidence: FindingEvidence | null; words: string | null } {
  const wanted = useSeen(box, near_px) || atOnce;
  const at = useMoment();
  const { data, error } = useQuery({ ...evidenceQuery(findingId, at, inList), enabled: wanted });
  useEffect(() => {
    if (wanted) drawings().catch(() => {});
  }, [wanted]);
  if (data?.data.kind === 'none') return { evidence: null, words: data.data.reason };
  return { evidence: data ?? null, words: data ? null : (error?.message ?? null) };
}

/** The picture, or why there is none; nothing while either is on its way. */
function Drawn({ words, children }: { words: string | null; children: ReactNode }) {
  if (words !== null) return <p className="evidence-none">{words}</p>;
  return <Suspense fallback={null}>{children}</Suspense>;
}

/** Beside a sentence: the picture without axes, with two or three words. Its room is kept while it loads. */
export function SmallEvidence({ findingId }: { findingId: string }) {
  const box = useRef<HTMLDivElement>(null);
  const { evidence, words } = useEvidence(findingId, box, { inList: true });
  return (
    <div ref={box} className="evidence-small">
      <Drawn words={words}>{evidence && <SmallPicture evidence={evidence} />}</Drawn>
    </div>
  );
}

/** On a page that is printed: with axes and what it shows in a sentence, as wide as its column. */
export function PrintedEvidence({ findingId }: { findingId: string }) {
  const box = useRef<HTMLElement>(null);
  const { evidence } = useEvidence(findingId, box, { atOnce: true });
  return (
    <figure ref={box} className="evidence-printed">
      <Drawn words={null}>{evidence && <PrintedPicture evidence={evidence} />}</Drawn>
    </figure>
  );
}

/** With axes, a key, what it shows in a sentence, and its data as a table and as CSV. */
export function LargeEvidence({ findingId, height = 300 }: { findingId: string; height?: number }) {
  const box = useRef<HTMLElement>(null);
  const { evidence, words } = useEvidence(findingId, box);
  return (
    <figure ref={box} className="evidence-large" style={{ minHeight: `calc(${height}px + 6.5rem)` }}>
      <Drawn words={words}>
        {evidence && <LargePicture evidence={evidence} box={box} height={height} />}
      </Drawn>
    </figure>
  );
}
