import { memo } from 'react';
import { scaleMarks } from '../../../../charts/timeline/panel-scales.js';
import { headHeights, panels, panelSides, panelTops } from '../../../../charts/timeline/panels.js';
import type { LegendEntry, Timeline } from '../../../../charts/timeline/option.js';

interface PanelFrameProps {
  timeline: Timeline;
  /** Of the whole chart, px. */
  width: number;
}

/** What stands still while the lines move: the upright axes with their grid and the limit. */
export const PanelFrame = memo(({ timeline, width }: PanelFrameProps) => {
  const { left, right } = panelSides(timeline.narrow);
  const { tops, height } = panelTops(timeline.narrow);
  const end = Math.max(left, width - right);
  return (
    <svg className="time-frame" width={width} height={height} aria-hidden="true">
      {timeline.panels.map(({ scale, limit }, panel) => {
        const tall = panels[panel].height;
        const y = (down: number) => Math.round(tops[panel] + down * tall) + 0.5;
        const limitDown = limit && (scale.max - limit.value) / (scale.max - scale.min);
        return (
          <g key={panel}>
            {scaleMarks(scale).map(({ down, words }) => (
              <g key={words}>
                <path className={down === 1 ? 'time-axis' : 'time-grid'} d={`M${left} ${y(down)}H${end}`} />
                <text x={left - 8} y={y(down)} dy="0.35em" textAnchor="end">
                  {words}
                </text>
              </g>
            ))}
            {limit && limitDown !== null && (
              <g className="time-limit">
                <path d={`M${left} ${y(limitDown)}H${end}`} />
                <text x={end - 4} y={y(limitDown) - 5} textAnchor="end">
                  {limit.words}
                </text>
              </g>
            )}
          </g>
        );
      })}
    </svg>
  );
});

interface PanelHeadsProps {
  timeline: Timeline;
  hidden: ReadonlySet<string>;
  /** Switches a line off or on. */
  toggle: (name: string) => void;
}

/** The words over each panel, and its lines by name, to be switched off and on. */
export const PanelHeads = memo(({ timeline, hidden, toggle }: PanelHeadsProps) => {
  const { tops, overs } = panelTops(timeline.narrow);
  return timeline.panels.map(({ title, unit, legend }, panel) => (
    <div key={panel} className="time-head" style={{ top: tops[panel] - overs[panel] + headHeights.above }}>
      <p style={{ height: headHeights.title }}>
        {title}, {unit}
      </p>
      <div role="group" aria-label={`Lines of ${title}`}>
        {legend.map((entry) => (
          <LegendButton
            key={entry.name}
            entry={entry}
            shown={!hidden.has(entry.name)}
            press={() => toggle(entry.name)}
          />
        ))}
      </div>
    </div>
  ));
});

interface LegendButtonProps {
  entry: LegendEntry;
  shown: boolean;
  press: () => void;
}

const LegendButton = ({ entry: { name, color, icon }, shown, press }: LegendButtonProps) => (
  <button
    type="button"
    className="time-line"
    style={{ height: headHeights.row }}
    aria-pressed={shown}
    onClick={press}
  >
    <svg width="20" height="14" aria-hidden="true">
      <path d={icon.replace('path://', '')} fill={color} />
    </svg>
    {name}
  </button>
);
