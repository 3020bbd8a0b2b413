import { layOut, type Geometry, type Size } from '../../charts/evidence/lay-out.js';
import type { Picture } from '../../charts/evidence/picture.js';

/** The SVG of a picture at a size in px. */
export function PictureDrawing({ picture, size }: { picture: Picture; size: Size }) {
  const drawn = layOut(picture, size);
  return (
    <svg
      className={`picture ${size.small ? 'picture-small' : ''}`}
      viewBox={`0 0 ${size.width} ${size.height}`}
      width={size.width}
      height={size.height}
      role="img"
      aria-label={picture.says}
    >
      {drawn.spans.map((span, index) => (
        <rect
          key={index}
          className="picture-span"
          x={span.x}
          width={span.width}
          y={drawn.top}
          height={drawn.bottom - drawn.top}
        />
      ))}
      {drawn.panels.map((panel) => (
        <DrawnPanel key={panel.title} panel={panel} drawn={drawn} small={size.small} />
      ))}
      {drawn.lines.map(({ x, words }) => (
        <g key={words}>
          <line className="picture-mark" x1={x} x2={x} y1={drawn.top} y2={drawn.bottom} />
          {!size.small && (
            <text
              className="picture-tick picture-word"
              x={x > size.width - 90 ? x - 4 : x + 4}
              y={drawn.top + 10}
              textAnchor={x > size.width - 90 ? 'end' : 'start'}
            >
              {words}
            </text>
          )}
        </g>
      ))}
      {!size.small && <Across picture={picture} drawn={drawn} />}
    </svg>
  );
}

/** Which line is which, where a panel has several. */
export function PictureKey({ picture }: { picture: Picture }) {
  const named = picture.panels.flatMap(({ marks }) => (marks.length > 1 ? marks : []));
  const unique = [...new Map(named.map((mark) => [mark.name, mark])).values()];
  if (unique.length === 0) return null;
  return (
    <ul className="picture-key" aria-hidden="true">
      {unique.map(({ name, tone, dashed, strong, shape }) => (
        <li key={name}>
          <svg width="22" height="10">
            {shape === 'dots' ? (
              <circle className={`dot-${tone}`} cx="11" cy="5" r="3" />
            ) : (
              <path
                className={`line-${tone} ${dashed ? 'dashed' : ''} ${strong ? 'strong' : ''}`}
                d="M1 5H21"
              />
            )}
          </svg>{' '}
          {name}
        </li>
      ))}
    </ul>
  );
}

interface PanelProps {
  panel: Geometry['panels'][number];
  drawn: Geometry;
  small: boolean;
}

function DrawnPanel({ panel, drawn, small }: PanelProps) {
  return (
    <g>
      {panel.ticks.map(({ y, words }) => (
        <g key={words}>
          <line className="picture-grid" x1={drawn.left} x2={drawn.right} y1={y} y2={y} />
          <text className="picture-tick" x={drawn.left - 6} y={y + 4} textAnchor="end">
            {words}
          </text>
        </g>
      ))}
      {panel.bars.map(({ tone, ...bar }, index) => (
        <rect key={index} className={`fill-${tone}`} {...bar} />
      ))}
      {panel.dots.map(({ tone, x, y }, index) => (
        <circle key={index} className={`dot-${tone}`} cx={x} cy={y} r={small ? 1.4 : 2.6} />
      ))}
      {panel.levels.map(({ y, words }) => (
        <line key={words} className="picture-level" x1={drawn.left} x2={drawn.right} y1={y} y2={y} />
      ))}
      {panel.paths.map(({ name, tone, dashed, strong, d }) => (
        <path
          key={name}
          className={`line-${tone} ${dashed ? 'dashed' : ''} ${strong ? 'strong' : ''}`}
          d={d}
        />
      ))}
      {!small &&
        panel.levels.map(({ y, words }) => (
          <text key={words} className="picture-tick picture-word" x={drawn.right} y={y - 4} textAnchor="end">
            {words}
          </text>
        ))}
      {!small && (
        <text className="picture-title" x={0} y={panel.top - 8}>
          {panel.title}
        </text>
      )}
    </g>
  );
}

/** The horizontal axis with its figures. */
function Across({ picture, drawn }: { picture: Picture; drawn: Geometry }) {
  return (
    <>
      <line className="picture-axis" x1={drawn.left} x2={drawn.right} y1={drawn.bottom} y2={drawn.bottom} />
      {drawn.ticks.map(({ x, words }, index) => (
        <text key={index} className="picture-tick" x={x} y={drawn.bottom + 16} textAnchor="middle">
          {words}
        </text>
      ))}
      {picture.x.kind === 'number' && (
        <text
          className="picture-tick"
          x={(drawn.left + drawn.right) / 2}
          y={drawn.bottom + 32}
          textAnchor="middle"
        >
          {picture.x.title}, {picture.x.unit}
        </text>
      )}
    </>
  );
}
