import type { circuitSeriesColumns } from '../telemetry/circuit-series.js';
import { celsiusToKelvin, fahrenheitToKelvin, psiToPascal } from '../units/index.js';

type Kind = 'pressure' | 'temperature' | 'temperature-difference' | 'percent' | 'flow' | 'power';
type Column = (typeof circuitSeriesColumns)[number];
type Convert = (value: number) => number;

const names: Record<string, { column: Column; kind: Kind }> = {
  suction_pressure: { column: 'suctionPressure_Pa', kind: 'pressure' },
  suction_temperature: { column: 'suctionTemperature_K', kind: 'temperature' },
  valve_opening: { column: 'valveOpening_pct', kind: 'percent' },
  discharge_pressure: { column: 'dischargePressure_Pa', kind: 'pressure' },
  discharge_temperature: { column: 'dischargeTemperature_K', kind: 'temperature' },
  liquid_temperature: { column: 'liquidTemperature_K', kind: 'temperature' },
  superheat_setpoint: { column: 'superheatSetpoint_K', kind: 'temperature-difference' },
  compressor_load: { column: 'compressorLoad_pct', kind: 'percent' },
  entering_temperature: { column: 'enteringWaterTemperature_K', kind: 'temperature' },
  leaving_temperature: { column: 'leavingWaterTemperature_K', kind: 'temperature' },
  flow: { column: 'waterFlow_m3_s', kind: 'flow' },
  condenser_entering_temperature: { column: 'condenserEnteringTemperature_K', kind: 'temperature' },
  condenser_leaving_temperature: { column: 'condenserLeavingTemperature_K', kind: 'temperature' },
  condenser_flow: { column: 'condenserFlow_m3_s', kind: 'flow' },
  condenser_fan_speed: { column: 'condenserFanSpeed_pct', kind: 'percent' },
  compressor_power: { column: 'compressorPower_W', kind: 'power' },
  ambient_temperature: { column: 'ambientTemperature_K', kind: 'temperature' },
};

/** Words that loggers shorten or put otherwise, as the trade does (common practice, no source). */
const words: readonly (readonly [RegExp, string])[] = [
  [/\b(?:temp|tmp)\b\.?/g, 'temperature'],
  [/\b(?:press|pres)\b\.?/g, 'pressure'],
  [/\bsuct\b\.?/g, 'suction'],
  [/\b(?:disch|dis)\b\.?/g, 'discharge'],
  [/\bcond\b\.?/g, 'condenser'],
  [/\bcomp\b\.?/g, 'compressor'],
  [/\b(?:sh|superheat) (?:setpoint|set point|sp)\b/g, 'superheat setpoint'],
  [/\b(?:e[ex]v|expansion valve|valve) (?:position|pos|opening)\b/g, 'valve opening'],
  [/\b(entering|leaving) (?:condenser|cooling) water\b/g, 'condenser $1'],
  [/\b(?:chilled water|evaporator water|evaporator|chw) (?=entering|leaving|flow)/g, ''],
  [/\b(?:condenser water|cooling water|cw) (?=entering|leaving|flow|temperature)/g, 'condenser '],
  [/\b(entering|leaving) (?:chilled |evaporator )?water\b/g, '$1'],
  [/\b(?:ambient|outdoor|outside)(?: air)? temperature\b/g, 'ambient temperature'],
  [/\bwater flow(?: rate)?\b|\bflow rate\b/g, 'flow'],
  [/\bfan speed\b/g, 'fan speed'],
];

const times =
  (factor: number): Convert =>
  (value) =>
    value * factor;

/**
 * Units as headers write them, lower case, with no blanks (`mw` is megawatt: no compressor takes milliwatts). US gallon
 * a minute 6.30902e-5 m3/s and kgf/cm2 98,066.5 Pa: NIST SP 811, appendix B.
 */
const units: Record<Kind, Record<string, Convert>> = {
  pressure: {
    pa: times(1),
    hpa: times(100),
    kpa: times(1e3),
    mpa: times(1e6),
    mbar: times(100),
    bar: times(1e5),
    psi: psiToPascal,
    'kgf/cm2': times(98_066.5),
    'kg/cm2': times(98_066.5),
  },
  temperature: {
    k: times(1),
    c: celsiusToKelvin,
    degc: celsiusToKelvin,
    cel: celsiusToKelvin,
    celsius: celsiusToKelvin,
    f: fahrenheitToKelvin,
    degf: fahrenheitToKelvin,
    fahrenheit: fahrenheitToKelvin,
  },
  'temperature-difference': {
    k: times(1),
    c: times(1),
    degc: times(1),
    f: times(1 / 1.8),
    degf: times(1 / 1.8),
  },
  percent: { pct: times(1), percent: times(1), '%': times(1), '%open': times(1), share: times(100) },
  flow: {
    'm3/s': times(1),
    'm3/h': times(1 / 3600),
    'm3/hr': times(1 / 3600),
    'l/s': times(1e-3),
    lps: times(1e-3),
    'l/min': times(1e-3 / 60),
    lpm: times(1e-3 / 60),
    'l/h': times(1e-3 / 3600),
    gpm: times(6.30902e-5),
    usgpm: times(6.30902e-5),
  },
  power: { w: times(1), kw: times(1e3), mw: times(1e6), hp: times(745.7) },
};

export interface HeaderMeaning {
  column: Column;
  kind: Kind;
  /** The header says that the atmosphere is to be added. */
  gauge: boolean;
  toSI: Convert;
}

/** Lower case with underscores: the form in which headers are compared. */
export const tidyHeader = (header: string): string =>
  header
    .trim()
    .toLowerCase()
    .replace(/[\s-]+/g, '_')
    .replace(/[^a-z0-9_]/g, '');

/** Splits "Suction Pressure [bar(g)]" or "suction_pressure_barg" into words and unit, lower case. */
function parted(header: string): { name: string; unit: string } {
  const text = header
    .normalize('NFKC')
    .trim()
    .toLowerCase()
    .replace(/(?:°|deg\.? )\s*(?=[cfk]\b)/g, '')
    // "kPa (g)" is one unit.
    .replace(/(pa|bar|psi) \((g|a|abs|gauge)\)$/, '$1$2');
  const bracket = /^(.*?)\s*(?:\[(.*)\]|\((.*)\)|\{(.*)\})\s*$/.exec(text);
  const last = bracket ? null : /^(.*?)[\s_,;:/]+(%|% ?open|[a-z]+\([ga]\))$/.exec(text);
  const [, name, ...unit] = bracket ?? last ?? [undefined, text];
  let plain = name.replace(/[\s_\-.,:]+/g, ' ').trim();
  for (const [word, instead] of words) plain = plain.replace(word, instead);
  return { name: plain.trim().replace(/ +/g, '_'), unit: unit.find((one) => one !== undefined) ?? '' };
}

/** `bar(g)`, `bar g`, `barg`, `psi gauge` -> bar, gauge; `psia`, `kPa abs` -> absolute. */
function pressureUnit(unit: string): { unit: string; gauge: boolean } | null {
  const match = /^(pa|hpa|kpa|mpa|mbar|bar|psi|kgf?\/cm2)(?:\(?(g|gauge|ga|a|abs|absolute)\)?)?$/.exec(unit);
  return match ? { unit: match[1], gauge: /^g/.test(match[2] ?? '') } : null;
}

/**
 * What a header of a logger means: a telemetry name with its unit, `suction_pressure_barg` or "Suction Press. [bar(g)]".
 * A sentence where it cannot be told, never a guess.
 */
export function readHeader(header: string): HeaderMeaning | string {
  const { name, unit: inBrackets } = parted(header);
  for (const [known, { column, kind }] of Object.entries(names)) {
    if (name !== known && !name.startsWith(`${known}_`)) continue;
    const rest = name.slice(known.length).replace(/^_/, '');
    if (/^\d/.test(rest)) continue;
    const written = inBrackets === '' ? rest : inBrackets;
    if (inBrackets !== '' && rest !== '') continue;
    if (written === '') return 'its name does not say the unit';
    const unit = unitOf(written, kind);
    return unit === undefined
      ? `unit "${written}" is not known for a ${kind.replace('-', ' ')}`
      : { column, kind, ...unit };
  }
  return 'its name is not one of the telemetry names';
}

function unitOf(written: string, kind: Kind): { gauge: boolean; toSI: Convert } | undefined {
  const unit = written
    .replace(/\s+/g, '')
    .replace(/\^/g, '')
    .replace(/^([lm]3?|kgf?)_(?=s|h|hr|min|cm2)/, '$1/');
  const table = units[kind];
  if (kind === 'pressure') {
    const found = pressureUnit(unit);
    return found && Object.hasOwn(table, found.unit)
      ? { gauge: found.gauge, toSI: table[found.unit] }
      : undefined;
  }
  return Object.hasOwn(table, unit) ? { gauge: false, toSI: table[unit] } : undefined;
}
