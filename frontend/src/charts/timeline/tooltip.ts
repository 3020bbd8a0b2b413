import { decimals } from '../../quantities/format-quantity.js';
import { clockWords } from '../../quantities/site-time.js';

interface TooltipEntry {
  seriesName: string;
  marker: string;
  value: [number, number | null];
  axisIndex: number;
}

/** What every line shows at the cursor, edges of bands left out; `units` are those of the panels. */
export function timelineTooltip(entries: unknown, units: string[]): string {
  const list = (Array.isArray(entries) ? entries : [entries]) as TooltipEntry[];
  const at = list[0]?.value?.[0];
  if (at === undefined) return '';
  const rows = list
    .filter(
      (entry) => entry.value[1] !== null && !/ from$|owest to highest$|^Uncertainty/.test(entry.seriesName),
    )
    .map(
      (entry) =>
        `<tr><td>${entry.marker}${entry.seriesName}</td><td style="text-align:right;padding-left:1em">${decimals(
          entry.value[1] as number,
          entry.axisIndex === 1 ? 0 : 2,
        )} ${units[entry.axisIndex].replace(' absolute', '')}</td></tr>`,
    );
  return `<strong>${clockWords(at, 'second')}</strong><table style="font-size:12px">${rows.join('')}</table>`;
}
