import './picture.css';
import { useQuery } from '@tanstack/react-query';
import { useCallback, useMemo, useRef, type RefObject } from 'react';
import { evidenceQuery } from '../../api/queries.js';
import { useUnits } from '../site.js';
import { pictureOf } from '../../charts/evidence/picture-of.js';
import type { Picture } from '../../charts/evidence/picture.js';
import { tableOf } from '../../charts/evidence/table.js';
import { DataTable } from '../table/data-table.js';
import { useMoment } from '../moment.js';
import { useZone } from '../zone.js';
import { PictureDrawing, PictureKey } from './drawing.js';
import { useSeen } from './use-seen.js';
import { useWidth } from './use-width.js';

/** How far under the window a picture is fetched. */
const near_px = 60;

/** The picture of a finding, fetched once its place comes near the window; words instead where there is none. */
function useEvidencePicture(
  findingId: string,
  box: RefObject<Element | null>,
  atOnce = false,
): { picture: Picture | null; words: string | null } {
  const seen = useSeen(box, near_px);
  const units = useUnits();
  const zone = useZone();
  const at = useMoment();
  const { data, error } = useQuery({ ...evidenceQuery(findingId, at), enabled: seen || atOnce });
  const picture = useMemo(
    () => (data ? pictureOf(data, { system: units, zone }) : null),
    [data, units, zone],
  );
  const words = data?.data.kind === 'none' ? data.data.reason : error ? error.message : null;
  return { picture, words };
}

const small = { width: 150, height: 54, small: true };

/** Beside a sentence: the picture without axes, with two or three words. Its room is kept while it loads. */
export function SmallEvidence({ findingId }: { findingId: string }) {
  const box = useRef<HTMLDivElement>(null);
  const { picture, words } = useEvidencePicture(findingId, box);
  return (
    <div ref={box} className="evidence-small">
      {picture ? (
        <>
          <PictureDrawing picture={picture} size={small} />
          <p aria-hidden="true">
            {picture.beside.map((each) => (
              <span key={each}>{each}</span>
            ))}
          </p>
        </>
      ) : (
        words && <p className="evidence-none">{words}</p>
      )}
    </div>
  );
}

/** On a page that is printed: with axes and what it shows in a sentence, as wide as its column. */
export function PrintedEvidence({ findingId }: { findingId: string }) {
  const box = useRef<HTMLElement>(null);
  const { picture } = useEvidencePicture(findingId, box, true);
  return (
    <figure ref={box} className="evidence-printed">
      {picture && (
        <>
          <PictureDrawing picture={withPanels(picture, printedPanels)} size={printed} />
          <figcaption>{picture.says}</figcaption>
        </>
      )}
    </figure>
  );
}

const printed = { width: 330, height: 150, small: false };
/** More would leave each panel a few lines of print. */
const printedPanels = 2;

const withPanels = (picture: Picture, most: number): Picture => ({
  ...picture,
  panels: picture.panels.slice(0, most),
});

/** With axes, a key, what it shows in a sentence, and its data as a table and as CSV. */
export function LargeEvidence({ findingId, height = 300 }: { findingId: string; height?: number }) {
  const box = useRef<HTMLElement>(null);
  const { picture, words } = useEvidencePicture(findingId, box);
  const width = useWidth(box, 640);
  const table = useCallback(() => tableOf(picture!), [picture]);
  return (
    <figure ref={box} className="evidence-large" style={{ minHeight: `calc(${height}px + 6.5rem)` }}>
      <div style={{ minHeight: height }}>
        {picture ? (
          <PictureDrawing picture={picture} size={{ width, height, small: false }} />
        ) : (
          words && <p className="evidence-none">{words}</p>
        )}
      </div>
      {picture && (
        <>
          <PictureKey picture={picture} />
          <figcaption>
            {picture.says} {picture.caption}
          </figcaption>
          <DataTable table={table} name={`evidence-${findingId}`} />
        </>
      )}
    </figure>
  );
}
