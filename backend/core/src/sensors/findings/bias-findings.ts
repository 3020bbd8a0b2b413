import type { SensorError } from '../../diagnosis/finding.js';
import { quantity, statement, type Statement } from '../../diagnosis/index.js';
import { saturationCurve, saturationSlope_K_Pa } from '../../refrigerants/index.js';
import { refrigerantFits, type RunningMedians } from '../running/running-evidence.js';
import { medianOf } from '../running/running-state.js';
import {
  effectOfBias,
  effectOfRegistry,
  effectOnSuperheat,
  type RunningSuperheat,
} from './effect-on-machine.js';
import { errorOfRefrigerant } from './refrigerant-error.js';
import { duration, kelvins, pascals, sensorWords, weather_Pa, type SensorDraft } from './sensor-findings.js';
import type { SettledStandstill } from '../standstill/standstill.js';
import type { Consensus, Deviation, SensorName } from '../standstill/thermal-consensus.js';

export interface BiasInput {
  refrigerant: string;
  standstills: readonly { seen: SettledStandstill; consensus: Consensus | null }[];
  running: RunningMedians | null;
  atmosphere_Pa: number;
  floodbackLimit_K: number;
  /** Both transducers are registered as gauges, to which the air pressure by the site's altitude is added. Default false. */
  gauges?: boolean;
}

/**
 * Places of a circuit at rest are not quite of one temperature, and a machine bears so small an error: what lies within
 * this, or within the uncertainty of the place, is only watched, K. Judgement, no source.
 */
const bearable_K = 1;
const place_K = 0.3;
const coverage = 2.5;

/** Slack around one atmosphere: weather, height and a transducer's own tolerance. */
const atmosphereSlack_Pa = 0.1e5;

/**
 * What settled standstills say about constant errors. A sensor must be odd in most of the standstills seen; its
 * deviation is their median.
 */
export function biasDrafts(input: BiasInput): SensorDraft[] {
  const judged = input.standstills.filter((one) => one.consensus !== null) as {
    seen: SettledStandstill;
    consensus: Consensus;
  }[];
  if (judged.length === 0) return [];
  const odd = oddInMost(judged);
  const suction = odd.get('suction-pressure');
  const discharge = odd.get('discharge-pressure');
  const seen = { first: judged[0].seen.from_s, last: judged[judged.length - 1].seen.to_s, judged };
  const drafts: SensorDraft[] = [];
  const gauges = [suction, discharge].filter(
    (one) => one && isAtmosphere(one, input) && runningAgrees(one, input),
  ) as Deviation[];
  const wrong = suction && discharge ? wrongRefrigerant(input, seen, suction, discharge) : null;
  const byAir = suction && discharge ? airPressureDrafts(input, seen, suction, discharge, wrong) : null;
  if (byAir)
    return [...byAir, ...others(odd, input, seen, new Set(['suction-pressure', 'discharge-pressure']))];
  if (wrong && gauges.length < 2)
    return [wrong, ...others(odd, input, seen, new Set(['suction-pressure', 'discharge-pressure']))];
  for (const gauge of gauges) {
    const draft = gaugeDraft(gauge, input, seen);
    drafts.push(wrong ? { ...draft, ...eitherGaugeOr(wrong, draft) } : draft);
  }
  return [...drafts, ...others(odd, input, seen, new Set(gauges.map((one) => one.sensor)))];
}

interface Seen {
  first: number;
  last: number;
  judged: readonly { seen: SettledStandstill; consensus: Consensus }[];
}

function oddInMost(judged: Seen['judged']): Map<SensorName, Deviation> {
  const found = new Map<SensorName, Deviation[]>();
  for (const { consensus, seen } of judged) {
    for (const one of consensus.odd)
      found.set(one.sensor, [...(found.get(one.sensor) ?? []), { ...one, firstSeen_s: seen.from_s }]);
  }
  const out = new Map<SensorName, Deviation>();
  for (const [sensor, list] of found) {
    const latest = judged[judged.length - 1].consensus.odd.some((one) => one.sensor === sensor);
    if (list.length * 2 < judged.length || !latest) continue;
    const sign = Math.sign(list[0].deviation_K);
    if (list.some((one) => Math.sign(one.deviation_K) !== sign)) continue;
    const inPressure = list.every((one) => one.deviation_Pa !== null);
    out.set(sensor, {
      ...list[list.length - 1],
      deviation_K: medianOf(list.map((one) => one.deviation_K)),
      deviation_Pa: inPressure ? medianOf(list.map((one) => one.deviation_Pa!)) : null,
      uncertainty_K: Math.min(...list.map((one) => one.uncertainty_K)),
      firstSeen_s: list[0].firstSeen_s,
    });
  }
  return out;
}

const isAtmosphere = (one: Deviation, { atmosphere_Pa }: BiasInput): boolean =>
  one.deviation_Pa !== null &&
  Math.abs(Math.abs(one.deviation_Pa) - atmosphere_Pa) <
    atmosphereSlack_Pa + Math.abs((one.deviation_Pa / one.deviation_K) * one.within_K);

/** Two gauges share the air's error to within this, Pa; each has its own tolerance besides. Judgement, no source. */
const alike_Pa = 4e3;
/** Air pressure where machines stand: from 3,000 m (ISO 2533: 70.1 kPa) to a high over the sea, Pa. */
const airPressure_Pa = { lowest: 70e3, highest: 106e3 };

/**
 * Both gauges off by one and the same pressure, by no more than air pressures differ from place to place: what they share
 * is the air pressure that was added, which comes from the altitude that is registered. Two transducers with one error, or
 * another refrigerant, show the same at one temperature.
 */
function airPressureDrafts(
  input: BiasInput,
  seen: Seen,
  suction: Deviation,
  discharge: Deviation,
  wrong: SensorDraft | null,
): SensorDraft[] | null {
  if (!input.gauges || suction.deviation_Pa === null || discharge.deviation_Pa === null) return null;
  const shared_Pa = (suction.deviation_Pa + discharge.deviation_Pa) / 2;
  const air_Pa = input.atmosphere_Pa - shared_Pa;
  const slack_Pa = Math.abs((shared_Pa / suction.deviation_K) * (suction.within_K + discharge.within_K));
  if (Math.abs(suction.deviation_Pa - discharge.deviation_Pa) > alike_Pa + slack_Pa) return null;
  if (!(air_Pa > airPressure_Pa.lowest && air_Pa < airPressure_Pa.highest)) return null;
  const air = statement(
    'Both gauges deviate alike; with air at {air} instead of {registered} neither does.',
    {
      air: quantity('pressure', air_Pa),
      registered: quantity('pressure', input.atmosphere_Pa),
    },
  );
  const explanations = [
    {
      cause: 'the site is not at the registered altitude, so that the wrong air pressure is added',
      weight: wrong ? 0.55 : 0.75,
      supports: [air],
      contradicts: [],
    },
    {
      cause: 'both transducers have the same error',
      weight: wrong ? 0.15 : 0.25,
      supports: [],
      contradicts: [],
    },
    ...(wrong
      ? [
          {
            cause: 'another refrigerant than the registered one',
            weight: 0.3,
            supports: wrong.reasons.slice(0, 1),
            contradicts: [],
          },
        ]
      : []),
  ];
  return [suction, discharge].map((one) => {
    const draft = biasDraft(one, input, seen);
    return {
      ...draft,
      explanations,
      certainty: 'likely',
      separatingCheck: statement(
        "Compare the site's altitude in the registry with a map first, then the unit's nameplate; a gauge open to the air must read zero.",
      ),
      visit: [
        statement(
          'Usually no visit is needed: correct the altitude and check whether the readings agree during the next stop.',
        ),
      ],
    };
  });
}

/** Superheat that vapour from an evaporator may have while it runs, K. Judgement, no source. */
const possibleSuperheat_K = { least: -1, most: 25 };

/** Whether running agrees that suction pressure is off by so much: superheat without the error is possible, and nearer to its setpoint. */
function runningAgrees(one: Deviation, input: BiasInput): boolean {
  const { read_K, true_K, setpoint_K } = runningSuperheat(one, input);
  if (!Number.isFinite(true_K)) return true;
  if (true_K < possibleSuperheat_K.least || true_K > possibleSuperheat_K.most) return false;
  return !Number.isFinite(setpoint_K) || Math.abs(true_K - setpoint_K) < Math.abs(read_K - setpoint_K);
}

/** What of a deviation the way of sending cannot make, K. */
const beyondSending_K = ({ deviation_K, within_K }: Deviation): number => Math.abs(deviation_K) - within_K;

/** A discharge sensor that reads above the others may be warmed by the heater of a compressor at rest. */
const mayBeWarmed = ({ sensor, deviation_K }: Deviation): boolean =>
  sensor === 'discharge-temperature' && deviation_K > 0;

/** Of what the heater does to the discharge sensor, the suction sensor at the compressor's other side has no more. Judgement, no source. */
const heatedPart = 0.5;

/** Where a heater warms the discharge sensor, a suction sensor that reads high by less is warmed as well: that says nothing of it. */
const isHeatedSuction = (
  { sensor, deviation_K }: Deviation,
  odd: ReadonlyMap<SensorName, Deviation>,
): boolean =>
  sensor === 'suction-temperature' &&
  deviation_K > 0 &&
  deviation_K <= heatedPart * (odd.get('discharge-temperature')?.deviation_K ?? 0);

/** So small that unlike places may make it, or made by a heater. */
const isOnlyWatched = (one: Deviation): boolean =>
  beyondSending_K(one) < Math.max(bearable_K, coverage * Math.hypot(one.uncertainty_K, place_K)) ||
  mayBeWarmed(one);

const standing = ({ judged }: Seen): Statement => {
  const longest = Math.max(...judged.map(({ seen }) => seen.stoodFor_s));
  const drift = medianOf(judged.map(({ seen }) => seen.drift_K_h));
  return statement(
    judged.length === 1
      ? 'Seen in one long stop, {time} after stopping, with temperatures drifting by {drift} per hour.'
      : 'Seen in {count} long stops, up to {time} after stopping, with temperatures drifting by {drift} per hour.',
    {
      ...(judged.length === 1 ? {} : { count: quantity('count', judged.length) }),
      time: duration(longest),
      drift: kelvins(drift),
    },
  );
};

function others(
  odd: ReadonlyMap<SensorName, Deviation>,
  input: BiasInput,
  seen: Seen,
  done: ReadonlySet<string>,
): SensorDraft[] {
  return [...odd.values()]
    .filter((one) => !done.has(one.sensor) && !isHeatedSuction(one, odd))
    .map((one) => biasDraft(one, input, seen));
}

/** What it does to the machine if the higher of two transducers is the wrong one, and if the lower is. */
const effectOfHigher = (sensor: SensorName): Statement =>
  sensor === 'suction-pressure'
    ? statement(
        'If the suction pressure transducer reads too high, a controller that uses it closes the valve and starves the evaporator; if the other reads too low, superheat control is not affected.',
      )
    : statement(
        'If the suction pressure transducer reads too low, a controller that uses it opens the valve and liquid can reach the compressor; if the other reads too high, superheat control is not affected.',
      );

/** Two transducers of one pressure that differ, both possible by themselves. */
function unequalDraft(one: Deviation, input: BiasInput, seen: Seen): SensorDraft {
  const other = sensorWords[one.against!];
  const difference = pascals(Math.abs(one.deviation_Pa!));
  return {
    ...biasDraft({ ...one, against: undefined }, input, seen),
    error: undefined,
    headline: statement(
      `With the circuit off, the ${sensorWords[one.sensor]} reads {difference} above the ${other}.`,
      {
        difference,
      },
    ),
    reasons: [
      statement(
        'Both sides were at the same temperature and so at the same pressure; the readings differ by {difference}.',
        {
          difference,
        },
      ),
      statement('Each reading alone lies between bubble and dew point of the blend at {agreed}.', {
        agreed: quantity('temperature', one.agreed_K, one.uncertainty_K),
      }),
      effectOfHigher(one.sensor),
      standing(seen),
    ],
    explanations: [
      {
        cause: `the ${sensorWords[one.sensor]} reads too high`,
        weight: 0.65,
        supports: [statement('An idle circuit holds mostly vapour, so its pressure lies at the dew point.')],
        contradicts: [],
      },
      { cause: `the ${other} reads too low`, weight: 0.35, supports: [], contradicts: [] },
    ],
    separatingCheck: statement(
      'Compare both with one reference gauge; remotely, check which one gives plausible superheat and subcooling.',
    ),
    certainty: 'likely',
  };
}

function biasDraft(one: Deviation, input: BiasInput, seen: Seen): SensorDraft {
  if (one.against) return unequalDraft(one, input, seen);
  const error = errorOf(one, input, seen);
  const effect = effectOfBias(
    one.sensor,
    one.deviation_K > 0,
    Math.abs(one.deviation_K),
    runningSuperheat(one, input),
  );
  const urgency = isOnlyWatched(one) ? 'watch' : effect.urgency;
  const high = one.deviation_K > 0;
  const inPressure = one.deviation_Pa !== null;
  const suction = one.sensor.startsWith('suction');
  const agreement = statement(
    'With the circuit off and settled, {count} instruments agree on {agreed}; this one deviates by {off}.',
    {
      count: quantity('count', one.agreeing),
      agreed: quantity('temperature', one.agreed_K, one.uncertainty_K),
      off: kelvins(one.deviation_K, one.uncertainty_K),
    },
  );
  return {
    condition: 'sensor-bias',
    sensor: one.sensor,
    headline: inPressure
      ? statement(`The ${sensorWords[one.sensor]} reads {bias} too ${high ? 'high' : 'low'}.`, {
          bias: pascals(Math.abs(one.deviation_Pa!)),
        })
      : statement(`The ${sensorWords[one.sensor]} reads {bias} too ${high ? 'high' : 'low'}.`, {
          bias: kelvins(Math.abs(one.deviation_K), one.uncertainty_K),
        }),
    reasons: [
      agreement,
      ...(inPressure
        ? [
            statement('In pressure the error is {bias}, in saturation temperature {off}.', {
              bias: pascals(one.deviation_Pa!),
              off: kelvins(one.deviation_K, one.uncertainty_K),
            }),
          ]
        : []),
      ...effect.reasons,
      ...(mayBeWarmed(one) ? [heaterMayWarmIt] : []),
      standing(seen),
    ],
    waiting: effect.waiting,
    error: mayBeWarmed(one) ? undefined : error,
    separatingCheck: inPressure
      ? statement(
          'Compare with the other side during the next long stop: once the pressures have equalised, both transducers must read the same.',
        )
      : statement('Compare with the pipe sensors beside it during the next long stop.'),
    certainty: beyondSending_K(one) > 5 * one.uncertainty_K ? 'certain' : 'likely',
    urgency,
    score:
      urgency === 'today' ? 85 : Math.round(Math.min(70, (suction ? 12 : 6) * Math.abs(one.deviation_K))),
    visit: [
      inPressure
        ? statement('Bring a calibrated reference gauge and a spare transducer of the same span.')
        : statement('Bring a calibrated reference thermometer and a spare sensor.'),
    ],
    firstSeen_s: one.firstSeen_s ?? seen.first,
    lastSeen_s: seen.last,
  };
}

const heaterMayWarmIt = statement(
  'A sensor close to the compressor also reads high with the circuit off where a crankcase heater warms it: then it is right while running.',
);

/**
 * The error in the unit of the reading; a pressure's uncertainty from that of its saturation temperature. What steps and
 * deadbands make is bounded and stays the same for as long as the value stands, so that no number of samples takes it
 * away: half-width over root 3 (JCGM 100:2008, 4.3.7).
 */
function errorOf(one: Deviation, { refrigerant }: BiasInput, { judged }: Seen): SensorError {
  const uncertainty_K = Math.hypot(one.uncertainty_K, one.within_K / Math.sqrt(3));
  if (one.deviation_Pa === null) return { bias: one.deviation_K, uncertainty: uncertainty_K };
  const { seen } = judged[judged.length - 1];
  const shown_Pa = one.sensor === 'suction-pressure' ? seen.suctionPressure_Pa : seen.dischargePressure_Pa;
  const slope_K_Pa = saturationSlope_K_Pa(refrigerant, shown_Pa, 'dew');
  return { bias: one.deviation_Pa, uncertainty: uncertainty_K / slope_K_Pa };
}

/** Superheat while running as read, and without the error. */
function runningSuperheat(
  one: Deviation,
  { refrigerant, running, floodbackLimit_K }: BiasInput,
): RunningSuperheat {
  if (!running || effectOnSuperheat(one.sensor, true) === 'not-affected')
    return { read_K: NaN, true_K: NaN, setpoint_K: NaN, floodbackLimit_K };
  const dew = saturationCurve(refrigerant, 'dew').temperature;
  const superheat = (pressure_Pa: number, temperature_K: number) => temperature_K - dew(pressure_Pa);
  const { suctionPressure_Pa, suctionTemperature_K } = running;
  return {
    read_K: superheat(suctionPressure_Pa, suctionTemperature_K),
    true_K: superheat(
      suctionPressure_Pa - (one.deviation_Pa ?? 0),
      suctionTemperature_K - (one.deviation_Pa === null ? one.deviation_K : 0),
    ),
    setpoint_K: running.superheatSetpoint_K,
    floodbackLimit_K,
  };
}

function gaugeDraft(one: Deviation, { atmosphere_Pa }: BiasInput, seen: Seen): SensorDraft {
  const low = one.deviation_K < 0;
  return {
    condition: 'gauge-taken-for-absolute',
    sensor: one.sensor,
    headline: low
      ? statement(`The ${sensorWords[one.sensor]} sends gauge pressure, but is registered as absolute.`)
      : statement(`The ${sensorWords[one.sensor]} sends absolute pressure, but is registered as gauge.`),
    reasons: [
      statement('With the circuit off it deviates by {off}, about one atmosphere ({air}).', {
        off: pascals(one.deviation_Pa!),
        air: quantity('pressure', atmosphere_Pa),
      }),
      standing(seen),
      effectOfRegistry,
    ],
    separatingCheck: statement(
      "Read on the label or in the unit's documents whether the transducer is gauge or absolute, and compare the registry.",
    ),
    error: { bias: low ? -atmosphere_Pa : atmosphere_Pa, uncertainty: weather_Pa },
    certainty: 'likely',
    urgency: 'this-week',
    score: 60,
    visit: [
      statement(
        'Usually no visit is needed: correct the registry and check whether the readings agree during the next stop.',
      ),
    ],
    firstSeen_s: seen.first,
    lastSeen_s: seen.last,
  };
}

/** Both pressures one atmosphere off, which another refrigerant explains as well: the data do not decide. */
const eitherGaugeOr = (wrong: SensorDraft, gauge: SensorDraft): Partial<SensorDraft> => ({
  explanations: [
    {
      cause: 'both transducers are registered with the wrong reference',
      weight: 0.5,
      supports: gauge.reasons.slice(0, 1),
      contradicts: [],
    },
    {
      cause: 'another refrigerant than the registered one',
      weight: 0.5,
      supports: [wrong.headline, ...wrong.reasons.slice(0, -1)],
      contradicts: [],
    },
  ],
  separatingCheck: statement(
    'Compare stops at different temperatures: a wrong reference stays one atmosphere off, with another refrigerant the deviation grows with temperature. Otherwise read the labels of transducers and unit.',
  ),
  certainty: 'possible',
});

/** Another known refrigerant that fits standstill and running, where the registered one fits neither. */
function wrongRefrigerant(
  { refrigerant, running }: BiasInput,
  seen: Seen,
  suction: Deviation,
  discharge: Deviation,
): SensorDraft | null {
  if (!running || Math.sign(suction.deviation_K) !== Math.sign(discharge.deviation_K)) return null;
  const last = seen.judged[seen.judged.length - 1];
  const agreed_K = last.consensus.agreed_K;
  const close_K = Math.max(0.7, 2.5 * last.consensus.uncertainty_K);
  const fits = refrigerantFits(last.seen, agreed_K, running);
  const registered = fits.find((one) => one.refrigerant === refrigerant);
  const better = fits.filter(
    (one) => one.refrigerant !== refrigerant && one.possible && one.standing_K <= close_K,
  );
  if (better.length === 0) return null;
  const setpoint_K = running.superheatSetpoint_K;
  const off = (superheat_K: number) => Math.abs(superheat_K - setpoint_K);
  const shown_K =
    running.suctionTemperature_K -
    saturationCurve(refrigerant, 'dew').temperature(running.suctionPressure_Pa);
  const [best] = better;
  // Standstill alone would also fit two transducers with one error: running must agree with the other one as well.
  const agrees = Number.isFinite(setpoint_K)
    ? off(best.superheat_K) + 0.4 < off(shown_K)
    : registered !== undefined && !registered.possible;
  if (!agrees) return null;
  const alike = better.filter((one) => one.score < best.score + 0.7).map((one) => one.refrigerant);
  return {
    condition: 'wrong-refrigerant',
    sensor: 'suction-pressure',
    headline: statement(
      `The circuit behaves like ${alike.join(' or ')}, not like the registered ${refrigerant}.`,
    ),
    reasons: [
      statement(
        `With the circuit off, the saturation temperatures deviate by {suction} and {discharge} with ${refrigerant}, and by at most {rest} with ${best.refrigerant}.`,
        {
          suction: kelvins(suction.deviation_K, suction.uncertainty_K),
          discharge: kelvins(discharge.deviation_K, discharge.uncertainty_K),
          rest: kelvins(best.standing_K),
        },
      ),
      ...(Number.isFinite(setpoint_K) && Number.isFinite(shown_K)
        ? [
            statement(
              `While running, superheat would be {best} with ${best.refrigerant} and {shown} with ${refrigerant}; the setpoint is {setpoint}.`,
              { best: kelvins(best.superheat_K), shown: kelvins(shown_K), setpoint: kelvins(setpoint_K) },
            ),
          ]
        : []),
      effectOfRegistry,
      standing(seen),
    ],
    separatingCheck: statement("Ask for the unit's nameplate and the record of the last charge."),
    error:
      alike.length === 1
        ? errorOfRefrigerant(refrigerant, best.refrigerant, running.suctionPressure_Pa)
        : undefined,
    certainty: 'likely',
    urgency: 'this-week',
    score: 65,
    visit: [
      statement('Usually no visit is needed: correct the registry once nameplate or record has been read.'),
    ],
    firstSeen_s: seen.first,
    lastSeen_s: seen.last,
  };
}
