import { clockDrift, type ClockDrift, type DelayAt } from '../../habits/clocks/clock-drift.js';
import { changesOf, streamDelay } from '../../habits/clocks/stream-delay.js';
import type { CircuitSeries } from '../../telemetry/circuit-series.js';
import { finishFinding } from '../draft.js';
import type { Finding, FindingSubject } from '../finding.js';
import { quantity, statement } from '../statement.js';
import { endOfNewestWindow_s, mean_s, meansFrom } from './means-of-late.js';

/** The columns that clocks are compared by. */
export const clockColumns = [
  'suctionPressure_Pa',
  'compressorLoad_pct',
  'enteringWaterTemperature_K',
  'leavingWaterTemperature_K',
] as const;

const day_s = 86_400;
const days = 8;
/** Clocks are compared over the newest eight days. */
export const clockRecord_s = days * day_s;
/** From one day to the next a delay is looked for within this; at first it may be farther off, s. */
const width_s = 960;
const firstWidth_s = 7200;

/** From here on what pairs a circuit with the water is not claimed, s. Judgement, no source: a plateau lasts some half an hour at least. */
const mispaired_s = 120;

/** The means by which clocks are compared, of what the circuits of a unit sent: those of the eight days before the end of its newest window. */
export function meansForClocks(sent: readonly CircuitSeries[]): { means: CircuitSeries[]; until_s: number } {
  const until_s = endOfNewestWindow_s(sent);
  return { means: sent.map((one) => meansFrom(one, until_s - clockRecord_s, clockColumns)), until_s };
}

interface CircuitDrift {
  circuit: number;
  drift: ClockDrift;
  /** The load and the water's temperature difference say it too. */
  confirmed: boolean;
}

/**
 * Clocks that run apart: circuit and water of a unit may come through different gateways, each with a clock of its own. The
 * pressure of the evaporator and the water that leaves it move together within minutes; where that delay grows steadily from
 * day to day, it is no lag of the machine but the clocks. Where load and both water temperatures are sent, the delay between
 * load and water difference must grow by as much.
 *
 * @param until_s end of the record; days are counted back from there
 */
export function clocksApart(
  circuits: readonly { circuit: number; series: CircuitSeries }[],
  until_s: number,
): Finding[] {
  const drifting = circuits.flatMap(({ circuit, series }) => driftOf(circuit, series, until_s) ?? []);
  if (drifting.length === 0) return [];
  const alike = drifting.every(({ drift }) => drift.perDay_s > 0 === drifting[0].drift.perDay_s > 0);
  // What all circuits show is of the unit; the best known of them is said.
  if (drifting.length === circuits.length && alike)
    return [
      findingOf(
        drifting.reduce((best, one) => (one.drift.uncertainty_s < best.drift.uncertainty_s ? one : best)),
        { kind: 'unit' },
      ),
    ];
  return drifting.map((one) => findingOf(one, { kind: 'circuit', circuit: one.circuit }));
}

/** Whether a circuit and the water it is paired with are so far apart in time that nothing is claimed of both together. */
export const isMispaired = (clocks: readonly Finding[], circuit: number): boolean =>
  clocks.some(
    ({ subject, headline }) =>
      (subject.kind === 'unit' || (subject.kind === 'circuit' && subject.circuit === circuit)) &&
      headline.quantities.apart.value >= mispaired_s,
  );

/** What is not claimed of a circuit while clocks pair it with the water of another time. */
export const notClaimedWhileMispaired: readonly string[] = ['departs-from-normal'];

function driftOf(circuit: number, series: CircuitSeries, until_s: number): CircuitDrift | null {
  const on = (column: (typeof clockColumns)[number]) => evenly(series, column, until_s);
  const leaving = on('leavingWaterTemperature_K');
  const drift = clockDrift(delaysOf(on('suctionPressure_Pa'), leaving, until_s));
  if (drift === null) return null;
  const entering = on('enteringWaterTemperature_K');
  const load = on('compressorLoad_pct');
  const second = delaysOf(
    load,
    leaving.map((value, k) => entering[k] - value),
    until_s,
  ).filter(({ at_s }) => at_s >= drift.from_s);
  if (second.length < drift.days) return { circuit, drift, confirmed: false };
  const grown_s = second[second.length - 1].delay_s - second[0].delay_s;
  const wanted_s = (drift.perDay_s * (drift.to_s - drift.from_s)) / day_s;
  // Half to one and a half times as much: load and heat go less closely together than pressure and water.
  return Math.abs(grown_s - wanted_s) <= Math.abs(wanted_s) / 2 ? { circuit, drift, confirmed: true } : null;
}

/** A column at every two minutes of the record. */
function evenly(series: CircuitSeries, column: (typeof clockColumns)[number], until_s: number): Float64Array {
  const even = new Float64Array(clockRecord_s / mean_s).fill(NaN);
  const from_s = until_s - clockRecord_s;
  for (let i = 0; i < series.time_s.length; i++) {
    const place = Math.floor((series.time_s[i] - from_s) / mean_s);
    const value = series[column][i];
    if (place >= 0 && place < even.length && Number.isFinite(value)) even[place] = value;
  }
  return even;
}

/** The delay of each day on which it could be told, oldest first. */
function delaysOf(leads: Float64Array, follows: Float64Array, until_s: number): DelayAt[] {
  const [one, other] = [changesOf(leads), changesOf(follows)];
  const perDay = day_s / mean_s;
  const delays: DelayAt[] = [];
  for (let day = 0; day < days; day++) {
    const span = { from: day * perDay, to: (day + 1) * perDay };
    const about_s = delays[delays.length - 1]?.delay_s ?? 0;
    const look = (width: number) =>
      streamDelay(one, other, span, { spacing_s: mean_s, about_s, width_s: width });
    const found = look(width_s) ?? (delays.length === 0 ? look(firstWidth_s) : null);
    if (found !== null) delays.push({ at_s: until_s - (days - day - 0.5) * day_s, delay_s: found.delay_s });
  }
  return delays;
}

function findingOf({ drift, confirmed }: CircuitDrift, subject: FindingSubject): Finding {
  const { perDay_s, uncertainty_s, apart_s, from_s, to_s } = drift;
  const seconds = (value: number, uncertainty?: number) => quantity('duration', Math.abs(value), uncertainty);
  const of = subject.kind === 'circuit' ? 'circuit {circuit}' : 'the circuits';
  const mispaired = Math.abs(apart_s) >= mispaired_s;
  return finishFinding(
    {
      condition: 'clocks-drift-apart',
      headline: statement(
        `The clocks of ${of} and of the water run apart by {rate} a day; they are {apart} apart now.`,
        {
          ...(subject.kind === 'circuit' ? { circuit: quantity('count', subject.circuit) } : {}),
          rate: seconds(perDay_s, uncertainty_s),
          apart: seconds(apart_s),
        },
      ),
      reasons: [
        statement(
          `By its times the leaving water follows the suction pressure ${perDay_s > 0 ? 'later' : 'earlier'} by {rate} from each day to the next, over {span}. A lag of the machine does not grow so.`,
          { rate: seconds(perDay_s, uncertainty_s), span: quantity('duration', to_s - from_s) },
        ),
        ...(confirmed
          ? [statement('The water’s temperature difference shifts against the compressor’s load by as much.')]
          : []),
        ...(mispaired
          ? [
              statement(
                'Until the clocks agree, the circuit is not compared with what it did before: it would be paired with the water of another time.',
              ),
            ]
          : []),
      ],
      separatingCheck: statement(
        'Compare the clock of each gateway and controller with a reference clock, and see which of them takes its time from a time server.',
      ),
      certainty: confirmed ? 'certain' : 'likely',
      urgency: 'next-visit',
      score: mispaired ? 12 : 5,
      waiting: statement(
        'The clocks run farther apart each day: what depends on the circuit and the water together is then judged wrongly or not at all.',
      ),
      visit: [statement('Set the clock that is off, and let it take its time from a time server.')],
    },
    { subject, hazards: ['live-parts'], firstSeen_s: from_s, lastSeen_s: to_s },
  );
}
