/** Panels from top to bottom: height in px and the words over each. */
export const panels = [
  { title: 'Superheat', height: 190 },
  { title: 'Valve opening and compressor load', height: 120 },
  { title: 'Pressures', height: 110 },
  { title: 'Temperatures', height: 170 },
] as const;
/** Room for the labels of the time axis. */
const under = 30;

/** Heights of a panel's title and of a row of its legend, px: a row is high enough to be pressed (WCAG 2.2, 2.5.8). */
export const headHeights = { above: 14, title: 22, row: 24 } as const;

/** Over a panel its title and its legend, which wraps on a narrow page. */
export function panelTops(narrow: boolean): { tops: number[]; overs: number[]; height: number } {
  const rows = narrow ? [1, 1, 1, 4] : [1, 1, 1, 1];
  const overs = rows.map((row) => headHeights.above + headHeights.title + headHeights.row * row + 6);
  const tops: number[] = [];
  let top = 0;
  panels.forEach((panel, index) => {
    tops.push(top + overs[index]);
    top += overs[index] + panel.height;
  });
  return { tops, overs, height: top + under };
}

/** Height of the whole chart, px. */
export const timelineHeight = (narrow: boolean): number => panelTops(narrow).height;

/** Distance of the time axis from the sides of the chart, px. */
export const panelSides = (narrow: boolean): { left: number; right: number } =>
  narrow ? { left: 42, right: 8 } : { left: 52, right: 16 };
