import { formatInstant, show } from '../../../quantities/format-quantity.js';
import {
  claimedWords,
  clock,
  clocks,
  converted,
  linesOver,
  middle,
  timeAxis,
  unitOf,
  withSign,
  type Claim,
  type Column,
  type EvidenceOf,
  type Picture,
  type Reader,
  type Tone,
} from '../picture.js';
import { capitalised } from '../../../quantities/capitalised.js';

type Data = EvidenceOf<'standstill'>;

const rows: { name: string; read: (data: Data) => Column; tone: Tone; dashed?: boolean; of?: string }[] = [
  { name: 'Suction saturation', read: (data) => data.suctionSaturation_K, tone: 1, of: 'suction-pressure' },
  {
    name: 'Discharge saturation',
    read: (data) => data.dischargeSaturation_K,
    tone: 4,
    of: 'discharge-pressure',
  },
  {
    name: 'Suction temperature',
    read: (data) => data.suctionTemperature_K,
    tone: 2,
    of: 'suction-temperature',
  },
  {
    name: 'Discharge temperature',
    read: (data) => data.dischargeTemperature_K,
    tone: 3,
    of: 'discharge-temperature',
  },
  { name: 'Liquid temperature', read: (data) => data.liquidTemperature_K, tone: 3, of: 'liquid-temperature' },
  { name: 'Entering water', read: (data) => data.enteringWater_K, tone: 5, dashed: true },
  { name: 'Leaving water', read: (data) => data.leavingWater_K, tone: 5 },
  { name: 'Ambient', read: (data) => data.ambient_K, tone: 'quiet', dashed: true },
];

/** The two saturations and the water always; of the other sensors only the accused one. */
const shownFor = (data: Data) =>
  rows.filter(({ of, name }) => !of || of === data.sensor || name.endsWith('saturation'));

/** Bias, gauge setting, refrigerant: what the circuit's sensors say while all of it is at one temperature. */
export function standstillPicture(data: Data, reader: Reader, claim: Claim): Picture {
  const x = clocks(data.time_s, reader);
  const settled = [...data.time_s.keys()].filter(
    (index) => data.time_s[index] >= data.from_s && data.time_s[index] <= data.to_s,
  );
  const drawn = shownFor(data).filter(({ read }) => read(data).some((value) => value !== null));
  const words = drawn.map(({ name, read }) => {
    const values = read(data);
    return `${name.toLowerCase()} ${show(middle(settled.map((index) => values[index])), 'temperature', reader.system)}`;
  });
  const accused = drawn.find(({ of }) => of !== undefined && of === data.sensor);
  // Another refrigerant puts both saturations off, each by its own amount.
  const off = claimedWords(claim, 'off', reader) ?? claimedWords(claim, 'suction', reader);
  const what =
    claim.claim.off?.kind === 'pressure-difference'
      ? capitalised((data.sensor ?? '').replaceAll('-', ' '))
      : (accused ?? drawn[0]).name;
  const deviates = off === null ? '' : ` ${what} deviates by ${withSign(off)}.`;
  return {
    x: timeAxis,
    panels: [
      {
        title: 'Temperature',
        unit: unitOf('temperature', reader),
        weight: 1,
        marks: linesOver(
          x,
          drawn.map(({ name, read, tone, dashed, of }) => ({
            name,
            tone,
            dashed,
            strong: of !== undefined && (data.sensor === null || of === data.sensor),
            y: converted(read(data), 'temperature', reader),
          })),
          600_000,
        ),
        levels: [],
      },
    ],
    spans: [{ from: clock(data.from_s, reader), to: clock(data.to_s, reader) }],
    lines: [],
    beside: off === null ? ['standing still'] : [withSign(off), 'standing still'],
    says: `With circuit ${data.circuit} standing and settled: ${words.join(', ')}.${deviates}`,
    caption: `Circuit ${data.circuit} off, ${formatInstant(data.from_s, reader.zone)}; shaded: settled, where the sensors are compared.`,
  };
}
