import { decimals, formatDay } from '../../../quantities/format-quantity.js';
import {
  converted,
  known,
  middle,
  unitOf,
  type Column,
  type EvidenceOf,
  type Mark,
  type Panel,
  type Picture,
  type Reader,
} from '../picture.js';

type Data = EvidenceOf<'departure'>;
type Curve = Data['curves'][number];

/** How a quantity is named, and whether it is a temperature difference, a share of its highest usual value, or percent. */
const drawn: Record<
  Curve['quantity'],
  { title: string; short: string; of: 'difference' | 'share' | 'percent' }
> = {
  condenserApproach_K: { title: 'Condenser approach', short: 'condenser approach', of: 'difference' },
  evaporatorApproach_K: { title: 'Evaporator approach', short: 'evaporator approach', of: 'difference' },
  subcooling_K: { title: 'Subcooling', short: 'subcooling', of: 'difference' },
  superheat_K: { title: 'Superheat', short: 'superheat', of: 'difference' },
  dischargeSuperheat_K: { title: 'Discharge superheat', short: 'discharge superheat', of: 'difference' },
  condenserDifference_K: {
    title: 'Temperature rise of the condenser water',
    short: 'condenser water rise',
    of: 'difference',
  },
  evaporatorDifference_K: {
    title: 'Temperature drop of the chilled water',
    short: 'chilled water drop',
    of: 'difference',
  },
  condenserFlow_m3_s: { title: 'Condenser flow', short: 'condenser flow', of: 'share' },
  evaporatorFlow_m3_s: { title: 'Chilled water flow', short: 'chilled water flow', of: 'share' },
  compressorPower_W: { title: 'Compressor power', short: 'power', of: 'share' },
  heatBalance_K: { title: 'Heat balance of the water sides', short: 'heat balance', of: 'difference' },
  valveOpening_pct: { title: 'Valve opening', short: 'valve opening', of: 'share' },
  compressorLoad_pct: { title: 'Compressor load', short: 'load', of: 'percent' },
};

const axes: Record<
  NonNullable<Data['predictor']>,
  { title: string; of: 'share' | 'temperature' | 'difference' | 'percent' | 'flow' }
> = {
  load: { title: 'Load', of: 'share' },
  sink: { title: 'What the condenser is cooled by', of: 'temperature' },
  source: { title: 'Leaving water', of: 'temperature' },
  unitHeat: { title: 'Cooling of all circuits', of: 'share' },
  condensing: { title: 'Condensing temperature', of: 'temperature' },
  setpoint: { title: 'Superheat setpoint', of: 'difference' },
  fan: { title: 'Fan speed', of: 'percent' },
  evaporatorFlow: { title: 'Chilled water flow', of: 'flow' },
  condenserFlow: { title: 'Condenser flow', of: 'flow' },
};

const numbers = (values: Column): number[] => values.map((value) => value ?? NaN);

function across({ predictor }: Data, reader: Reader) {
  const { title, of } =
    predictor === null ? { title: 'Operating point', of: 'percent' as const } : axes[predictor];
  switch (of) {
    case 'share':
      return {
        title: `${title}, of full load`,
        unit: '%',
        of: (x: Column) => numbers(x).map((value) => 100 * value),
      };
    case 'percent':
      return { title, unit: '%', of: numbers };
    case 'flow':
      return { title, unit: 'L/s', of: (x: Column) => numbers(x).map((value) => 1000 * value) };
    default: {
      const kind = of === 'temperature' ? 'temperature' : 'temperature-difference';
      return { title, unit: unitOf(kind, reader), of: (x: Column) => numbers(converted(x, kind, reader)) };
    }
  }
}

function shown({ quantity }: Curve, reader: Reader) {
  const { title, of } = drawn[quantity];
  if (of === 'difference')
    return {
      title,
      unit: unitOf('temperature-difference', reader),
      of: (y: Column) => converted(y, 'temperature-difference', reader),
    };
  if (of === 'percent') return { title, unit: '%', of: (y: Column) => [...y] };
  return {
    title: `${title}, of its highest usual value`,
    unit: '%',
    of: (y: Column) => y.map((value) => (value === null ? null : 100 * value)),
  };
}

function panel(curve: Curve, x: (values: Column) => number[], reader: Reader): Panel {
  const { title, unit, of } = shown(curve, reader);
  const { band, then, now } = curve;
  const line = (name: string, y: Column, dashed: boolean): Mark => ({
    name,
    shape: 'line',
    tone: dashed ? 'quiet' : 1,
    dashed,
    x: x(band.x),
    y: of(y),
  });
  const marks: Mark[] = [
    line('Normal, low', band.low, true),
    line('Normal', band.expected, false),
    line('Normal, high', band.high, true),
    { name: 'Then', shape: 'dots', tone: 'quiet', x: x(then.x), y: of(then.value) },
    { name: 'Now', shape: 'dots', tone: 'limit', x: x(now.x), y: of(now.value) },
  ];
  return { title, unit, weight: 1, marks: marks.filter((mark) => mark.x.length > 0), levels: [] };
}

/** How far the dots of now lie from the band's middle at their place, in shown units. */
function apart(curve: Curve, reader: Reader): { by: number; unit: string; title: string } {
  const { unit, of, title } = shown(curve, reader);
  const { x, expected } = curve.band;
  const expectedAt = (at: number): number => {
    const k = Math.max(
      1,
      x.findIndex((edge) => edge >= at),
    );
    const share = (at - x[k - 1]) / (x[k] - x[k - 1]);
    return Number.isFinite(share) ? expected[k - 1] + share * (expected[k] - expected[k - 1]) : expected[0];
  };
  const values = known(of(curve.now.value));
  const normal = known(of(numbers(curve.now.x).map(expectedAt)));
  return { by: middle(values.map((value, i) => value - normal[i])), unit, title };
}

/** A unit that is compared with its like has no dots of its own from before. */
const learnedWhen = ({ likeUnits, learnedFrom_s, learnedUntil_s }: Data, { zone }: Reader): string =>
  likeUnits === null
    ? `grey ${between(formatDay(learnedFrom_s, zone), formatDay(learnedUntil_s, zone))}, when normal was learned, `
    : '';

const between = (from: string, to: string): string => (from === to ? `on ${from}` : `from ${from} to ${to}`);

/** A departure from the circuit's own normal, or from what like units do: each quantity over its predictor, with the band of normal, then and now. */
export function departurePicture(data: Data, reader: Reader): Picture {
  const axis = across(data, reader);
  const panels = data.curves.map((curve) => panel(curve, axis.of, reader));
  const day = formatDay(data.since_s, reader.zone);
  const figures = data.curves.map((curve) => {
    const { by, unit, title } = apart(curve, reader);
    return `${title} is ${decimals(Math.abs(by), 1)} ${unit} ${by < 0 ? 'under' : 'over'} normal`;
  });
  const [first] = data.curves;
  const most = apart(first, reader);
  return {
    x: { kind: 'number', title: axis.title, unit: axis.unit },
    panels,
    spans: [],
    lines: [],
    beside: [
      `${most.by < 0 ? '−' : '+'}${decimals(Math.abs(most.by), 1)} ${most.unit}`,
      drawn[first.quantity].short,
    ],
    says: `Circuit ${data.circuit} against ${data.likeUnits === null ? 'its own normal' : `what ${data.likeUnits} like units do`}, medians: ${figures.join('; ')}.`,
    caption: `One dot for each plateau of steady running: ${learnedWhen(data, reader)}red since ${day}; brought to the other conditions of now. ${
      data.likeUnits === null
        ? '19 of 20 normal plateaus lie between the dashed lines.'
        : `Of plateaus of such units about 19 of 20 lie between the dashed lines, as far as ${data.likeUnits} units tell how they differ.`
    }`,
  };
}
