import { useMemo } from 'react';
import { useZone } from '../../components/zone.js';
import { clockWords, timeWords } from '../../quantities/site-time.js';
import { calendarSays, dayCells, hourCells, type CalendarOf, type HourLook } from './gap-calendar.js';
import { shareWords } from './health-words.js';

const size = { width: 18, height: 8, left: 44, top: 18 };

const lookWords: Record<HourLook, string> = {
  all: 'all samples came',
  part: 'a part came, as high as its share',
  none: 'nothing came',
  unknown: 'not known',
};

/** Four weeks of hours: a column a day, an hour a line; told apart by shape before tone. */
export function GapHours(props: CalendarOf) {
  const { calendar, from, countedSince } = props;
  const zone = useZone();
  const { cells, days } = useMemo(
    () => hourCells({ calendar, from, countedSince }, zone),
    [calendar, from, countedSince, zone],
  );
  const { width, height, left, top } = size;
  return (
    <figure className="gap-figure">
      <div className="scroll-x" tabIndex={0} role="region" aria-label="Calendar of gaps">
        <svg
          width={left + days.length * width + 4}
          height={top + 24 * height + 4}
          role="img"
          aria-label={`A column a day, an hour a line. ${calendarSays(cells)}`}
        >
          {[0, 6, 12, 18].map((hour) => (
            <text key={hour} x={left - 6} y={top + hour * height + 9} className="gap-text" textAnchor="end">
              {String(hour).padStart(2, '0')}:00
            </text>
          ))}
          {days.map((day, index) =>
            index % 7 === 0 ? (
              <text key={day} x={left + index * width} y={11} className="gap-text">
                {clockWords(day, 'short-day')}
              </text>
            ) : null,
          )}
          {cells.map(({ start_s, look, share, day, hour }) => (
            <g key={start_s}>
              <Look
                {...{ look, share }}
                x={left + day * width}
                y={top + hour * height}
                width={width - 2}
                height={height - 1.5}
              />
              {look === 'part' && (
                <title>{`${timeWords(start_s * 1000, zone, 'minute')}: ${shareWords(share)} came`}</title>
              )}
            </g>
          ))}
        </svg>
      </div>
      <Legend />
    </figure>
  );
}

/** Four weeks by days, in a line. */
export function GapDays(props: CalendarOf) {
  const { calendar, from, countedSince } = props;
  const zone = useZone();
  const { cells, days } = useMemo(() => {
    const hours = hourCells({ calendar, from, countedSince }, zone);
    return { cells: hours.cells, days: dayCells(hours.cells, hours.days) };
  }, [calendar, from, countedSince, zone]);
  const width = 9;
  return (
    <svg
      width={days.length * width}
      height={18}
      role="img"
      aria-label={`The last four weeks by days. ${calendarSays(cells)}`}
    >
      {days.map(({ day_ms, look, share }, index) => (
        <g key={day_ms}>
          <Look {...{ look, share }} x={index * width} y={1} width={width - 2} height={16} />
          <title>{`${clockWords(day_ms, 'day')}: ${look === 'part' ? `${shareWords(share)} came` : lookWords[look]}`}</title>
        </g>
      ))}
    </svg>
  );
}

export function Legend() {
  return (
    <figcaption className="gap-legend">
      {(Object.keys(lookWords) as HourLook[]).map((look) => (
        <span key={look}>
          <svg width={18} height={12} aria-hidden="true">
            <Look look={look} share={0.5} x={1} y={1} width={16} height={10} />
          </svg>
          {lookWords[look]}
        </span>
      ))}
    </figcaption>
  );
}

interface LookProps {
  look: HourLook;
  share: number;
  x: number;
  y: number;
  width: number;
  height: number;
}

/** All is filled, a part is filled from below, nothing is a crossed box, what is not known a dot. */
function Look({ look, share, x, y, width, height }: LookProps) {
  if (look === 'unknown')
    return <circle cx={x + width / 2} cy={y + height / 2} r={0.9} className="gap-unknown" />;
  if (look === 'all') return <rect {...{ x, y, width, height }} className="gap-came" />;
  if (look === 'none')
    return (
      <path
        d={`M${x} ${y}h${width}v${height}h${-width}zL${x + width} ${y + height}`}
        className="gap-nothing"
      />
    );
  const came = Math.max(1, share * height);
  return (
    <>
      <rect {...{ x, y, width, height }} className="gap-lacking" />
      <rect {...{ x, width }} y={y + height - came} height={came} className="gap-came" />
    </>
  );
}
