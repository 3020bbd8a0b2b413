import { curveMonotoneX, line } from 'd3-shape';
import { useMemo } from 'react';
import type { WindowRow } from '../../../api/types.js';
import { useZone } from '../../../components/zone.js';
import { clockWords, timeWords } from '../../../quantities/site-time.js';
import { isLow, lookOf, lowFrom, placeWindows, type StripCell, type WindowLook } from './week-strip.js';

const width = 22;
const height = 11;
const left = 44;
const top = 30;

interface StripProps {
  rows: WindowRow[];
  chosen: number | null;
  choose(start_s: number): void;
}

const lookWords: Record<WindowLook | 'low', string> = {
  steady: 'steady',
  hunting: 'hunting',
  low: `under the floodback limit for more than ${lowFrom * 100} % of the steady running`,
  undecided: 'too little steady running to judge',
  'not-running': 'no steady running',
};
const looks = Object.keys(lookWords) as (WindowLook | 'low')[];

/** Weeks at a glance: a column a day, twelve windows down; told apart by shape before tone. */
export function CalendarStrip({ rows, chosen, choose }: StripProps) {
  const zone = useZone();
  const { cells, days } = useMemo(() => placeWindows(rows, zone), [rows, zone]);
  const order = useMemo(() => [...cells].sort((a, b) => a.row.start_s - b.row.start_s), [cells]);
  const here = order.findIndex((cell) => cell.row.start_s === chosen);
  const move = (event: React.KeyboardEvent) => {
    const step = { ArrowDown: 1, ArrowUp: -1, ArrowRight: 12, ArrowLeft: -12 }[event.key];
    if (step === undefined) return;
    event.preventDefault();
    const next = order[Math.min(Math.max((here < 0 ? order.length - 1 : here) + step, 0), order.length - 1)];
    if (next) choose(next.row.start_s);
  };
  return (
    <figure className="strip-figure">
      <div className="scroll-x">
        <svg
          className="week-strip"
          width={left + days.length * width + 4}
          height={top + 12 * height + 4}
          tabIndex={0}
          role="group"
          aria-label={`Windows of two hours, a column a day: ${cells.filter((cell) => lookOf(cell.row) === 'steady').length} steady, ${cells.filter((cell) => lookOf(cell.row) === 'hunting').length} hunting, ${cells.filter((cell) => isLow(cell.row)).length} low. Arrow keys choose one.`}
          onKeyDown={move}
        >
          <Hours />
          <Days days={days} />
          {cells.map((cell) => (
            <Cell key={cell.row.start_s} cell={cell} chosen={cell.row.start_s === chosen} choose={choose} />
          ))}
        </svg>
      </div>
      <figcaption className="strip-legend">
        {looks.map((look) => (
          <span key={look}>
            <svg width={width} height={height} aria-hidden="true">
              <Look look={look === 'low' ? 'steady' : look} low={look === 'low'} x={0} y={0} />
            </svg>
            {lookWords[look]}
          </span>
        ))}
      </figcaption>
    </figure>
  );
}

const isMonday = (clock_ms: number) => new Date(clock_ms).getUTCDay() === 1;
/** Up to this many columns there is room for the number of each day. */
const namedDays = 10;

function Hours() {
  return [0, 6, 12, 18].map((hour) => (
    <text
      key={hour}
      x={left - 6}
      y={top + (hour / 2) * height + height - 2}
      className="strip-text"
      textAnchor="end"
    >
      {String(hour).padStart(2, '0')}:00
    </text>
  ));
}

/** Mondays are named and ruled. */
function Days({ days }: { days: number[] }) {
  return days.map((day, index) => {
    const x = left + index * width;
    if (index === 0 || isMonday(day))
      return (
        <g key={index}>
          <text x={x} y={12} className="strip-text">
            {clockWords(day, 'short-day')}
          </text>
          <line x1={x - 1.5} x2={x - 1.5} y1={16} y2={top + 12 * height} className="strip-week" />
        </g>
      );
    if (days.length > namedDays) return null;
    return (
      <text key={index} x={x + width / 2 - 1} y={25} className="strip-text" textAnchor="middle">
        {new Date(day).getUTCDate()}
      </text>
    );
  });
}

function Cell({ cell, chosen, choose }: { cell: StripCell; chosen: boolean; choose(start_s: number): void }) {
  const x = left + cell.day * width;
  const y = top + cell.part * height;
  const zone = useZone();
  const look = lookOf(cell.row);
  return (
    <g onClick={() => choose(cell.row.start_s)} className="strip-cell">
      <rect x={x - 1} y={y - 1} width={width} height={height} fill="transparent" />
      <Look look={look} low={isLow(cell.row)} x={x} y={y} />
      {chosen && (
        <rect x={x - 1.5} y={y - 1.5} width={width} height={height + 0.5} className="strip-chosen" />
      )}
      <title>{`${timeWords(cell.row.start_s * 1000, zone, 'minute')}: ${lookWords[look]}${isLow(cell.row) ? `, ${lookWords.low}` : ''}`}</title>
    </g>
  );
}

/** Two cycles of a sine in a box, by its quarters. */
const wave = line<number>()
  .x((quarter) => (quarter / 8) * (width - 3))
  .y((quarter) => ((1 - 0.7 * Math.sin((quarter * Math.PI) / 2)) * (height - 3)) / 2)
  .curve(curveMonotoneX)([0, 1, 2, 3, 4, 5, 6, 7, 8])!;

function Look({ look, low, x, y }: { look: WindowLook; low: boolean; x: number; y: number }) {
  const [w, h] = [width - 3, height - 3];
  return (
    <>
      {look === 'steady' && <rect x={x} y={y} width={w} height={h} className="look-steady" />}
      {look === 'hunting' && (
        <>
          <rect x={x} y={y} width={w} height={h} className="look-hunting" />
          <path d={wave} transform={`translate(${x} ${y})`} className="look-wave" />
        </>
      )}
      {look === 'undecided' && (
        <rect x={x + 0.5} y={y + 0.5} width={w - 1} height={h - 1} className="look-unsaid" />
      )}
      {look === 'not-running' && <circle cx={x + w / 2} cy={y + h / 2} r={1.2} className="look-standing" />}
      {low && <rect x={x} y={y + h - 2.5} width={w} height={2.5} className="look-low" />}
    </>
  );
}
