import type { ClockOffset, DataHealthTotals, UnitDataHealth } from '../../api/registry/data-health.js';
import { count, decimals, digitsFor, formatDuration } from '../../quantities/format-quantity.js';
import { scaleOf, type UnitSystem } from '../../quantities/unit-system.js';
import { capitalised } from '../../quantities/capitalised.js';

/** A share of the samples as words that never call a part all or nothing. */
export function shareWords(part: number): string {
  if (part > 0 && part < 0.001) return 'under 0.1 %';
  if (part > 0.999 && part < 1) return 'over 99.9 %';
  return `${decimals(part * 100, part === 0 || part === 1 ? 0 : 1)} %`;
}

/** The state of the fleet's data in a sentence. */
export function healthHeadline({ units, silent, neverHeard, incomplete }: DataHealthTotals): string {
  if (units === 0) return 'There are no units yet.';
  const words = [
    ...(silent > 0 ? [count(silent, 'unit sends nothing', 'units send nothing')] : []),
    ...(neverHeard > 0 ? [count(neverHeard, 'was never heard', 'were never heard')] : []),
    ...(incomplete > silent
      ? [`samples are missing from ${count(incomplete - silent, 'unit that sends', 'units that send')}`]
      : []),
  ];
  if (words.length === 0) return 'Telemetry comes from every unit.';
  return `${capitalised(words.join(', '))}.`;
}

/** How much of a unit's samples came in the last day. */
export function cameWords({
  neverHeard,
  silent,
  expected,
  missing,
  lost,
  newestReading,
  asOf,
}: Pick<UnitDataHealth, 'neverHeard' | 'silent' | 'expected' | 'missing' | 'lost' | 'newestReading'> & {
  asOf: string | null;
}): string {
  if (neverHeard || newestReading === null) return 'never heard';
  if (silent) return `nothing for ${formatDuration(ago_s(newestReading, asOf))}`;
  if (expected === null || expected === 0) return 'comes; how many are expected is not known';
  if (missing === 0) return 'complete';
  return `${shareWords(lost)} missing`;
}

export const ago_s = (at: string, now: string | null): number =>
  Math.max(0, (now === null ? Date.now() : Date.parse(now)) / 1000 - Date.parse(at) / 1000);

/** A message whose newest sample is older than this when it comes brings history, s. */
const history_s = 3600;

/** When a unit was heard last, and where that message brought history alone, how old the newest sample is. */
export function heardWords(
  { lastMessage, newestReading }: Pick<UnitDataHealth, 'lastMessage' | 'newestReading'>,
  asOf: string | null,
): string {
  if (lastMessage === null) return 'none counted';
  const ago = `${formatDuration(ago_s(lastMessage, asOf))} ago`;
  return broughtHistory({ lastMessage, newestReading })
    ? `${ago}, with history: its newest sample is ${formatDuration(ago_s(newestReading!, asOf))} old`
    : ago;
}

/** Whether the last message brought nothing but history, so that the unit may be silent though it was heard just now. */
export const broughtHistory = ({
  lastMessage,
  newestReading,
}: Pick<UnitDataHealth, 'lastMessage' | 'newestReading'>): boolean =>
  lastMessage !== null &&
  newestReading !== null &&
  Date.parse(lastMessage) - Date.parse(newestReading) > 1000 * history_s;

/** How late samples of the last day came that came at once. */
export function latenessWords({
  latenessP50_s: p50,
  latenessP95_s: p95,
}: Pick<UnitDataHealth, 'latenessP50_s' | 'latenessP95_s'>): string {
  if (p50 === null || p95 === null) return 'not known';
  return `${lateWords(p50)}, 95 % within ${lateWords(p95)}`;
}

/** Below nothing a sample came before its own time: the sender's clock is ahead. */
const lateWords = (late_s: number) =>
  late_s < 0 ? `${formatDuration(-late_s)} early` : late_s < 1 ? 'under 1 s' : formatDuration(late_s);

/** Up to this nobody needs to look at a clock, s: what a message needs on its way is in it. */
const tolerable_s = 5;

/** What the lower envelope of lateness says of a clock. */
export function clockWords(clock: ClockOffset | null): string {
  if (clock === null) return 'not known';
  const { offset_s, shifted } = clock;
  if (shifted) return `${formatDuration(offset_s)} behind, so all is taken for history`;
  if (offset_s < -1) return `at least ${formatDuration(-offset_s)} ahead`;
  if (offset_s <= tolerable_s) return `right to ${tolerable_s} s`;
  return `up to ${formatDuration(offset_s)} behind, or slow on its way`;
}

export function repeatWords({ repeats, steps }: Pick<UnitDataHealth, 'repeats' | 'steps'>): string {
  return repeats === 0 ? 'none' : `${shareWords(repeats / Math.max(1, steps))} (${decimals(repeats, 0)})`;
}

/** Names of signals as people say them. */
export const signalWords: Record<string, string> = {
  suctionPressure_Pa: 'suction pressure',
  suctionTemperature_K: 'suction temperature',
  valveOpening_pct: 'valve opening',
  dischargePressure_Pa: 'discharge pressure',
  dischargeTemperature_K: 'discharge temperature',
  liquidTemperature_K: 'liquid temperature',
  superheatSetpoint_K: 'superheat setpoint',
  compressorLoad_pct: 'compressor load',
  enteringWaterTemperature_K: 'water entering',
  leavingWaterTemperature_K: 'water leaving',
  waterFlow_m3_s: 'water flow',
  ambientTemperature_K: 'ambient temperature',
  condenserEnteringTemperature_K: 'entering the condenser',
  condenserLeavingTemperature_K: 'leaving the condenser',
  condenserFlow_m3_s: 'condenser flow',
  condenserFanSpeed_pct: 'fan speed',
  compressorPower_W: 'compressor power',
};

/** A step or a deadband of a signal in the reader's units, to two figures; a dash where there is none. */
export function stepWords(name: string, step: number, system: UnitSystem): string {
  if (!(step > 0)) return '–';
  const unit = name.slice(name.lastIndexOf('_') + 1);
  const figures = (value: number) => decimals(value, digitsFor(value, 2));
  if (name.endsWith('_m3_s')) {
    const { convert, unit: shown } = scaleOf('flow', system);
    return `${figures(convert(step))} ${shown}`;
  }
  if (unit === 'pct') return `${figures(step)} %`;
  if (unit === 'W') return `${figures(step / 1000)} kW`;
  const { convert, unit: shown } = scaleOf(
    unit === 'Pa' ? 'pressure-difference' : 'temperature-difference',
    system,
  );
  return `${figures(convert(step))} ${shown}`;
}
