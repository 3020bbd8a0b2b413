import { useCallback, useMemo, type RefObject } from 'react';
import type { FindingEvidence } from '../../api/types.js';
import { pictureOf } from '../../charts/evidence/picture-of.js';
import type { Picture } from '../../charts/evidence/picture.js';
import { tableOf } from '../../charts/evidence/table.js';
import { useUnits } from '../site.js';
import { DataTable } from '../table/data-table.js';
import { useZone } from '../zone.js';
import { PictureDrawing, PictureKey } from './drawing.js';
import { useWidth } from './use-width.js';

/** Drawn in the reader's units and by the site's clock; null where there is nothing to draw. */
function usePicture(evidence: FindingEvidence): Picture | null {
  const system = useUnits();
  const zone = useZone();
  return useMemo(() => pictureOf(evidence, { system, zone }), [evidence, system, zone]);
}

const small = { width: 150, height: 54, small: true };

/** Without axes, with two or three words beside it. */
export function SmallPicture({ evidence }: { evidence: FindingEvidence }) {
  const picture = usePicture(evidence);
  return (
    picture && (
      <>
        <PictureDrawing picture={picture} size={small} />
        <p aria-hidden="true">
          {picture.beside.map((each) => (
            <span key={each}>{each}</span>
          ))}
        </p>
      </>
    )
  );
}

const printed = { width: 420, height: 124, small: false };
/** More would leave each panel a few lines of print. */
const printedPanels = 2;

/** With axes, a key and what it shows in a sentence, as wide as its column. */
export function PrintedPicture({ evidence }: { evidence: FindingEvidence }) {
  const whole = usePicture(evidence);
  const picture = whole && { ...whole, panels: whole.panels.slice(0, printedPanels) };
  return (
    picture && (
      <>
        <PictureDrawing picture={picture} size={printed} />
        <PictureKey picture={picture} />
        <figcaption>{picture.says}</figcaption>
      </>
    )
  );
}

interface LargePictureProps {
  evidence: FindingEvidence;
  /** As wide as this. */
  box: RefObject<HTMLElement | null>;
  height: number;
}

/** Of a panel with its title at least, px: in less its marks cannot be told apart. */
const panelHeight = 130;

/** With axes, a key, what it shows in a sentence, and its data as a table and as CSV. */
export function LargePicture({ evidence, box, height }: LargePictureProps) {
  const picture = usePicture(evidence);
  const width = useWidth(box, 640);
  const table = useCallback(() => tableOf(picture!), [picture]);
  return (
    picture && (
      <>
        <PictureDrawing
          picture={picture}
          size={{ width, height: Math.max(height, panelHeight * picture.panels.length), small: false }}
        />
        <PictureKey picture={picture} />
        <figcaption>
          {picture.says} {picture.caption}
        </figcaption>
        <DataTable table={table} name={`evidence-${evidence.finding}`} />
      </>
    )
  );
}
