import { decimals, formatDay } from '../../../quantities/format-quantity.js';
import {
  converted,
  middle,
  unitOf,
  type EvidenceOf,
  type Mark,
  type Panel,
  type Picture,
  type Reader,
} from '../picture.js';

type Data = EvidenceOf<'over-load'>;
type Loaded = Data['circuits'][number];
type Quantity = Data['quantities'][number];

const drawn = {
  superheat: { title: 'Superheat', column: 'superheat_K', kind: 'temperature-difference' },
  subcooling: { title: 'Subcooling', column: 'subcooling_K', kind: 'temperature-difference' },
  opening: { title: 'Valve opening', column: 'opening_pct', kind: null },
  condensing: { title: 'Condensing temperature', column: 'condensing_K', kind: 'temperature' },
} as const;

const valuesOf = (circuit: Loaded, quantity: Quantity, reader: Reader) => {
  const { column, kind } = drawn[quantity];
  return kind === null ? [...circuit[column]] : converted(circuit[column], kind, reader);
};

/** Dots of some of a circuit's windows over their load; without a load signal over the valve's opening. */
function dots(circuit: Loaded, quantity: Quantity, reader: Reader, pick: (time_s: number) => boolean) {
  const load = loadOf(circuit);
  const values = valuesOf(circuit, quantity, reader);
  const kept = [...circuit.time_s.keys()].filter(
    (index) => pick(circuit.time_s[index]) && load[index] !== null && values[index] !== null,
  );
  return { x: kept.map((index) => load[index]!), y: kept.map((index) => values[index]) };
}

const loadOf = (circuit: Loaded) =>
  circuit.load_pct.some((load) => load !== null) ? circuit.load_pct : circuit.opening_pct;

function panel(data: Data, quantity: Quantity, reader: Reader): Panel {
  const { title, kind } = drawn[quantity];
  const several = data.circuits.length > 1;
  const marks = data.circuits.flatMap((circuit, index): Mark[] =>
    several
      ? [
          {
            name: `Circuit ${circuit.circuit}`,
            shape: 'dots',
            tone: index === 0 ? 1 : 2,
            ...dots(circuit, quantity, reader, () => true),
          },
        ]
      : [
          {
            name: `${title} before`,
            shape: 'dots',
            tone: 'quiet',
            ...dots(circuit, quantity, reader, (time_s) => time_s < data.since_s),
          },
          {
            name: title,
            shape: 'dots',
            tone: 'limit',
            ...dots(circuit, quantity, reader, (time_s) => time_s >= data.since_s),
          },
        ],
  );
  return {
    title,
    unit: kind === null ? '%' : unitOf(kind, reader),
    weight: 1,
    marks: marks.filter(({ x }) => x.length > 0),
    levels: [],
  };
}

/** Charge, valve at its limit, level of superheat, condensers side by side: one dot a window over the load it ran at. */
export function overLoadPicture(data: Data, reader: Reader): Picture {
  const several = data.circuits.length > 1;
  const panels = data.quantities
    .map((quantity) => panel(data, quantity, reader))
    .filter(({ marks }) => marks.length > 0);
  const day = formatDay(data.since_s, reader.zone);
  const figures = panels.map(({ title, unit, marks }) => {
    const words = marks.map(({ name, y }) => {
      const of = several ? `${name} ` : name.endsWith(' before') ? 'before ' : `since ${day} `;
      return `${of}${decimals(middle(y), 1)} ${unit}`;
    });
    return `${title}: ${words.join(', ')}`;
  });
  const byOpening = data.circuits.every(({ load_pct }) => load_pct.every((load) => load === null));
  const against = byOpening ? 'valve opening' : 'compressor load';
  return {
    x: { kind: 'number', title: byOpening ? 'Valve opening' : 'Compressor load', unit: '%' },
    panels,
    spans: [],
    lines: [],
    beside: several ? ['circuits', 'compared'] : [`red: since ${day}`, `over ${against}`],
    says: `Medians over windows of two hours. ${figures.join('. ')}.`,
    caption: several
      ? `One dot for each window with steady running, over ${against}, both circuits.`
      : `One dot for each window with steady running, over ${against}; red since ${day}, grey before.`,
  };
}
