import { quantile } from 'd3-array';
import { saturationTemperature } from '../refrigerants/index.js';
import type { CircuitSeries } from '../telemetry/circuit-series.js';
import {
  barToPascal,
  celsiusToKelvin,
  fahrenheitToKelvin,
  kelvinToCelsius,
  kelvinToFahrenheit,
  OutOfRangeError,
  pascalToBar,
  pascalToPsi,
  psiToPascal,
} from '../units/index.js';

/**
 * What a chiller's readings can be while it runs, K: superheat at the evaporator outlet and leaving water over
 * saturation. Wide around what the trade sets (superheat of 4 to 10 K, an approach of 1 to 8 K: common practice, no
 * source), so that only what no machine does is doubted.
 */
const possible = { superheat: [-3, 30], approach: [-3, 14] } as const;
/**
 * Water that leaves over 4 C is cooled by an evaporator over freezing; where it is not, protection against frost stops the
 * machine (common practice, no source). Under -2 C with an approach over the usual, the pressure is doubted.
 */
const frost = { leaving_K: 277.15, saturation_K: 271.15 };
/** What it mostly is; only a reading that brings all of it here is offered instead. */
const usual = { superheat: [0, 18], approach: [0, 9] } as const;

type Convert = (value: number) => number;
interface Misread {
  says: string;
  pressure: Convert;
  temperature: Convert;
}

const same: Convert = (value) => value;
/** A number in degrees Fahrenheit under a header of degrees Celsius, and the other way round. */
const wasFahrenheit: Convert = (kelvin) => fahrenheitToKelvin(kelvinToCelsius(kelvin));
const wasCelsius: Convert = (kelvin) => celsiusToKelvin(kelvinToFahrenheit(kelvin));

const misreadings = (atmosphere_Pa: number): Misread[] => {
  const gauge: Convert = (pressure_Pa) => pressure_Pa + atmosphere_Pa;
  const absolute: Convert = (pressure_Pa) => pressure_Pa - atmosphere_Pa;
  const pressures: [string, Convert][] = [
    ['gauge pressure and not absolute', gauge],
    ['absolute pressure and not gauge', absolute],
    ['psi and not bar', (pressure_Pa) => psiToPascal(pascalToBar(pressure_Pa))],
    ['bar and not psi', (pressure_Pa) => barToPascal(pascalToPsi(pressure_Pa))],
    ['kPa and not bar', (pressure_Pa) => pressure_Pa / 100],
    ['bar and not kPa', (pressure_Pa) => pressure_Pa * 100],
  ];
  const temperatures: [string, Convert][] = [
    ['degrees Fahrenheit and not Celsius', wasFahrenheit],
    ['degrees Celsius and not Fahrenheit', wasCelsius],
    ['kelvins and not degrees Celsius', kelvinToCelsius],
  ];
  return [
    ...pressures.map(([says, pressure]) => ({
      says: `suction pressure is ${says}`,
      pressure,
      temperature: same,
    })),
    ...temperatures.map(([says, temperature]) => ({
      says: `suction temperature is in ${says}`,
      pressure: same,
      temperature,
    })),
    {
      says: 'suction temperature is in degrees Fahrenheit and not Celsius, and suction pressure gauge and not absolute',
      pressure: gauge,
      temperature: wasFahrenheit,
    },
  ];
};

/**
 * Doubts about the units that a log's headers name, as sentences: while the machine runs, superheat and the leaving
 * water's distance from saturation must be possible ones. Where one other unit would make both usual, it is named. A
 * doubt, not a correction: nothing is changed. Needs an hour of running; silent where nothing is out of the possible.
 */
export function doubtfulUnits(series: CircuitSeries, refrigerant: string, atmosphere_Pa = 101_325): string[] {
  const rows = runningRows(series);
  const seen = medians(series, rows, refrigerant, same, same);
  if (seen === null || (fits(seen, possible) && !freezes(seen))) return [];
  const better = misreadings(atmosphere_Pa).filter(({ pressure, temperature }) => {
    const other = medians(series, rows, refrigerant, pressure, temperature);
    return other !== null && fits(other, usual);
  });
  const what = [
    seen.superheat < possible.superheat[0] ||
    seen.superheat > possible.superheat[1] ||
    Number.isNaN(seen.superheat)
      ? `superheat would be ${said(seen.superheat)}`
      : null,
    seen.approach !== null &&
    (seen.approach < possible.approach[0] || seen.approach > possible.approach[1] || freezes(seen))
      ? `leaving water would be ${said(seen.approach)} over the evaporating temperature`
      : null,
  ].filter((part) => part !== null);
  const as = better.length === 0 ? '' : ` It fits if ${better.map(({ says }) => says).join(', or if ')}.`;
  return [
    `Units or refrigerant are doubtful: while running, ${what.join(' and ')} in the median.${as} Check the headers.`,
  ];
}

const said = (value_K: number): string =>
  Number.isNaN(value_K) ? "outside the refrigerant's range" : `${value_K.toFixed(0)} K`;

interface Medians {
  superheat: number;
  approach: number | null;
  saturation_K: number;
}

const freezes = ({ approach, saturation_K }: Medians): boolean =>
  approach !== null &&
  approach > usual.approach[1] &&
  saturation_K < frost.saturation_K &&
  saturation_K + approach > frost.leaving_K;

type Range = Record<'superheat' | 'approach', readonly [number, number]>;

function fits({ superheat, approach }: Medians, range: Range): boolean {
  const within = (value: number, [least, most]: readonly [number, number]) => value >= least && value <= most;
  return within(superheat, range.superheat) && (approach === null || within(approach, range.approach));
}

/** At most two thousand rows of running, evenly taken; running is a load over 10 %, or else discharge well over suction. */
function runningRows(series: CircuitSeries): number[] {
  const rows: number[] = [];
  for (let i = 0; i < series.time_s.length; i++) {
    if (!(Number.isFinite(series.suctionPressure_Pa[i]) && Number.isFinite(series.suctionTemperature_K[i])))
      continue;
    const load = series.compressorLoad_pct[i];
    const lift = series.dischargePressure_Pa[i] / series.suctionPressure_Pa[i];
    if (load > 10 || (Number.isNaN(load) && lift > 1.5)) rows.push(i);
  }
  const step = Math.max(1, Math.floor(rows.length / 2000));
  return rows.filter((_, k) => k % step === 0);
}

function medians(
  series: CircuitSeries,
  rows: readonly number[],
  refrigerant: string,
  pressure: Convert,
  temperature: Convert,
): Medians | null {
  // An hour at the usual ten seconds to a minute; fewer rows may be a start or a test.
  if (rows.length < 60 || series.time_s[rows.at(-1)!] - series.time_s[rows[0]] < 3600) return null;
  const saturation: number[] = [];
  const superheat: number[] = [];
  const approach: number[] = [];
  let outside = 0;
  for (const i of rows) {
    const saturation_K = dewOrNaN(refrigerant, pressure(series.suctionPressure_Pa[i]));
    if (Number.isNaN(saturation_K)) outside += 1;
    else {
      saturation.push(saturation_K);
      superheat.push(temperature(series.suctionTemperature_K[i]) - saturation_K);
      approach.push(series.leavingWaterTemperature_K[i] - saturation_K);
    }
  }
  if (outside > rows.length / 2) return { superheat: NaN, approach: null, saturation_K: NaN };
  const water = approach.filter(Number.isFinite);
  return {
    superheat: quantile(superheat, 0.5)!,
    approach: water.length > rows.length / 2 ? quantile(water, 0.5)! : null,
    saturation_K: quantile(saturation, 0.5)!,
  };
}

function dewOrNaN(refrigerant: string, pressure_Pa: number): number {
  try {
    return saturationTemperature(refrigerant, pressure_Pa, 'dew');
  } catch (error) {
    if (error instanceof OutOfRangeError) return NaN;
    throw error;
  }
}
