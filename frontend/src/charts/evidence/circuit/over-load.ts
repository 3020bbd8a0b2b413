import { decimals, formatDay } from '../../../quantities/format-quantity.js';
import {
  claimed,
  claimedWords,
  converted,
  middle,
  percent,
  shownIn,
  unitOf,
  withSign,
  type Claim,
  type EvidenceOf,
  type Mark,
  type Panel,
  type Picture,
  type Reader,
} from '../picture.js';

type Data = EvidenceOf<'over-load'>;
type Loaded = Data['circuits'][number];
type Quantity = Data['quantities'][number];

/** `least`: an axis spans at least this, in K or percent. */
const drawn = {
  superheat: { title: 'Superheat', column: 'superheat_K', kind: 'temperature-difference', least: 2 },
  subcooling: { title: 'Subcooling', column: 'subcooling_K', kind: 'temperature-difference', least: 2 },
  opening: { title: 'Valve opening', column: 'opening_pct', kind: null, least: 10 },
  condensing: { title: 'Condensing temperature', column: 'condensing_K', kind: 'temperature', least: 2 },
} as const;

/** The limit that the finding names, and the quantity that it is one of. */
const limited: Record<string, { quantity: Quantity; name: string }> = {
  'valve-at-limit': { quantity: 'opening', name: 'limit' },
  'undercharge-suspected': { quantity: 'subcooling', name: 'limit' },
  headroom: { quantity: 'superheat', name: 'floor' },
};

function levelsOf(quantity: Quantity, reader: Reader, claim: Claim): Panel['levels'] {
  const limit = limited[claim.condition];
  const value = limit?.quantity === quantity ? claimed(claim, limit.name) : null;
  const { kind } = drawn[quantity];
  if (value === null) return [];
  return [
    {
      value: kind === null ? value : shownIn(value, kind, reader),
      words: limit.name === 'floor' ? `steady down to ${claimedWords(claim, limit.name, reader)}` : 'limit',
    },
  ];
}

/** The same figures as the headline's. */
function besideOf({ circuits, since_s }: Data, reader: Reader, claim: Claim): string[] {
  const words = (name: string) => claimedWords(claim, name, reader);
  const share = claimed(claim, 'share');
  const figures: Record<string, (string | null)[]> = {
    'valve-at-limit': [share === null ? null : `${percent(share)} of time`, 'at the limit'],
    'undercharge-suspected': ['subcooling', words('subcooling')],
    'superheat-off-setpoint': [signedOffset(words('offset'), circuits), 'off setpoint'],
    headroom: [words('headroom'), 'lower possible'],
    'condenser-fouling-suspected': [words('rise'), 'warmer'],
  };
  const found = figures[claim.condition] ?? [null];
  return found.includes(null) ? ['red: since', formatDay(since_s, reader.zone)] : (found as string[]);
}

/** A headline names the distance without its sign, and the side in words. */
function signedOffset(words: string | null, circuits: Data['circuits']): string | null {
  const [own] = circuits;
  if (words === null || own === undefined) return words;
  const apart = own.superheat_K.map((value, index) => {
    const setpoint = own.setpoint_K[index];
    return value === null || setpoint === null ? null : value - setpoint;
  });
  const off = middle(apart);
  return Number.isNaN(off) ? words : withSign(off < 0 ? `−${words}` : words);
}

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

/** The setpoint of each window, where the finding is how far superheat lies from it. */
function setpoints(circuit: Loaded, reader: Reader): Mark {
  const load = loadOf(circuit);
  const values = converted(circuit.setpoint_K, 'temperature-difference', reader);
  const kept = [...load.keys()].filter((index) => load[index] !== null && values[index] !== null);
  const sorted = kept.sort((a, b) => load[a]! - load[b]!);
  return {
    name: 'Setpoint',
    shape: 'line',
    tone: 1,
    x: sorted.map((index) => load[index]!),
    y: sorted.map((index) => values[index]),
  };
}

function panel(data: Data, quantity: Quantity, reader: Reader, claim: Claim): Panel {
  const { title, kind, least } = drawn[quantity];
  const several = data.circuits.length > 1;
  const ofSetpoint = claim.condition === 'superheat-off-setpoint' && quantity === 'superheat';
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
    marks: [...marks, ...(ofSetpoint ? [setpoints(data.circuits[0], reader)] : [])].filter(
      ({ x }) => x.length > 0,
    ),
    levels: levelsOf(quantity, reader, claim),
    least: kind === null ? least : shownIn(least, 'temperature-difference', reader),
  };
}

/** Charge, valve at its limit, level of superheat, condensers side by side: one dot a window over the load it ran at. */
export function overLoadPicture(data: Data, reader: Reader, claim: Claim): Picture {
  const several = data.circuits.length > 1;
  const panels = data.quantities
    .map((quantity) => panel(data, quantity, reader, claim))
    .filter(({ marks }) => marks.length > 0);
  const day = formatDay(data.since_s, reader.zone);
  const figures = panels.map(({ title, unit, marks }) => {
    const words = marks.map(({ name, y }) => {
      const figure = `${decimals(middle(y), 1)} ${unit}`;
      if (several || name === 'Setpoint') return `${name.toLowerCase()} ${figure}`;
      return name.endsWith(' before') ? `before ${figure}` : `${figure} since ${day}`;
    });
    return `${title}: ${words.join(', ')}`;
  });
  const byOpening = data.circuits.every(({ load_pct }) => load_pct.every((load) => load === null));
  const before = panels.some(({ marks }) => marks.some(({ name }) => name.endsWith(' before')));
  const against = byOpening ? 'valve opening' : 'compressor load';
  return {
    x: { kind: 'number', title: byOpening ? 'Valve opening' : 'Compressor load', unit: '%' },
    panels,
    spans: [],
    lines: [],
    beside: besideOf(data, reader, claim),
    says: `Medians over windows of two hours. ${figures.join('. ')}.`,
    caption: several
      ? `One dot for each window with steady running, over ${against}, both circuits.`
      : `One dot for each window with steady running, over ${against}; red since ${day}${before ? ', grey before' : ''}.`,
  };
}
