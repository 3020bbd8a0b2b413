import type { Departure } from '../../../normal/departures/departures.js';
import type { JudgedPlateau } from '../../../normal/departures/judge-plateaus.js';
import { meanDepartures } from '../../../normal/departures/mean-departures.js';
import type { CircuitNormal } from '../../../normal/learning/circuit-normal.js';
import type { Channel } from '../../../normal/plateaus/channels.js';
import { quantityFacts, type NormalQuantity } from '../../../normal/quantities/quantities.js';
import type { WeighedCause } from '../../causes/weigh-causes.js';
import { finishFinding } from '../../draft.js';
import { causeName, checkBetween } from '../explaining/cause-wording.js';
import type { Certainty, Explanation, Finding, Hazard } from '../../finding.js';
import { quantity, statement, type Quantity, type Statement } from '../../statement.js';
import { departureUrgency } from './departure-urgency.js';

/** How a quantity is said, and the kind of its value and of its difference from normal. */
const said: Record<NormalQuantity, { name: string; kind: Quantity['kind']; share: boolean }> = {
  condenserApproach_K: { name: 'The condenser approach', kind: 'temperature-difference', share: false },
  evaporatorApproach_K: { name: 'The evaporator approach', kind: 'temperature-difference', share: false },
  subcooling_K: { name: 'Subcooling', kind: 'temperature-difference', share: false },
  superheat_K: { name: 'Superheat', kind: 'temperature-difference', share: false },
  dischargeSuperheat_K: { name: 'Discharge superheat', kind: 'temperature-difference', share: false },
  condenserDifference_K: {
    name: 'The temperature rise of the condenser water',
    kind: 'temperature-difference',
    share: false,
  },
  evaporatorDifference_K: {
    name: 'The temperature drop of the chilled water',
    kind: 'temperature-difference',
    share: false,
  },
  condenserFlow_m3_s: { name: 'The condenser flow', kind: 'share', share: true },
  evaporatorFlow_m3_s: { name: 'The chilled water flow', kind: 'share', share: true },
  compressorPower_W: { name: 'Compressor power', kind: 'share', share: true },
  heatBalance_K: {
    name: 'The heat balance of the water sides',
    kind: 'temperature-difference',
    share: false,
  },
  valveOpening_pct: { name: 'The valve opening', kind: 'share', share: true },
  compressorLoad_pct: { name: 'Compressor load', kind: 'percent-opening', share: false },
};

/** The departures that are said: those over this many standard uncertainties, at most four. */
const worthSaying_z = 2;

export interface DepartureInput {
  circuit: number;
  normal: CircuitNormal;
  /** The plateaus over the limit of the stretch that still lasts. */
  over: readonly Pick<JudgedPlateau, 'from_s' | 'to_s' | 'departures' | 'detail'>[];
  /** Seen in the sum of small daily departures only. */
  slow: boolean;
  causes: readonly WeighedCause[];
  hazards: readonly Hazard[];
}

/** The finding that a circuit departs from its own normal, with the quantities that do, largest first; null where none can be said. */
export function departureSymptom({
  circuit,
  normal,
  over,
  slow,
  causes,
  hazards,
}: DepartureInput): Finding | null {
  const mean = meanDepartures(
    normal,
    over.map(({ detail }) => detail),
  );
  if (mean === null || over.length === 0) return null;
  const departures = mean.order
    .map((name, k) => ({
      name,
      departure: meanOf(over, name),
      z: mean.difference[k] / Math.sqrt(mean.covariance.get(k, k)),
      scaled: mean.difference[k],
    }))
    .filter(({ departure, z }) => departure !== null && Math.abs(z) >= worthSaying_z)
    .sort((a, b) => Math.abs(b.z) - Math.abs(a.z))
    .slice(0, 4);
  const sentences = departures.map(({ name, departure }) => sentenceOf(name, departure!, normal));
  const first: Statement =
    sentences[0] ?? statement(`Several quantities together are off what ${shownBy(normal)}.`);
  const asked = departureUrgency(causes, hazards);
  // What no single quantity shows nobody can check on the unit; a leak that is a danger is told all the same.
  const urgency = slow || (sentences.length === 0 && asked !== 'today') ? 'watch' : asked;
  return finishFinding(
    {
      condition: 'departs-from-normal',
      headline: first,
      reasons: [
        ...sentences.slice(1),
        ...(slow
          ? [statement('It is small on any one day and shows only over many days; it lasts or grows.')]
          : []),
        comparedWith(normal, over.length),
      ],
      explanations: explanationsOf(causes),
      separatingCheck: causes.length === 0 ? null : checkBetween(causes[0].cause, causes[1]?.cause),
      certainty: certaintyOf(normal, over.length, slow, causes),
      urgency,
      score: urgency === 'today' ? 60 : urgency === 'this-week' ? 40 : 20,
      waiting: statement('Waiting costs efficiency as long as the departure lasts, and more if it grows.'),
      visit: [],
    },
    {
      subject: { kind: 'circuit', circuit },
      hazards: [],
      firstSeen_s: over[0].from_s,
      lastSeen_s: over[over.length - 1].to_s,
    },
  );
}

/** Under this belief in its likeliest cause a unit may well be built or run otherwise than its like. Judgement, no source. */
const leastByLike = 0.5;

/** By like units alone nothing is certain, and where no known cause explains it the unit may just be another one. */
function certaintyOf(
  { likeUnits }: CircuitNormal,
  plateaus: number,
  slow: boolean,
  [first]: readonly WeighedCause[],
): Certainty {
  if (likeUnits === undefined) return plateaus >= 3 && !slow ? 'certain' : 'likely';
  return first !== undefined &&
    first.cause !== 'something-else' &&
    first.weight >= leastByLike &&
    plateaus >= 3
    ? 'likely'
    : 'possible';
}

const comparedWith = ({ plateaus, likeUnits }: CircuitNormal, seen: number): Statement =>
  likeUnits === undefined
    ? statement(
        'Compared with {learned} plateaus of earlier steady running at the same load and water temperatures; based on {seen} plateaus since.',
        { learned: quantity('count', plateaus), seen: quantity('count', seen) },
      )
    : statement(
        'Compared with what {units} like units do at the same load and water temperatures, as this one has no past of its own to compare with; based on {seen} plateaus.',
        { units: quantity('count', likeUnits), seen: quantity('count', seen) },
      );

/** Causes under this are not said. */
const leastSaid = 0.02;

const explanationsOf = (causes: readonly WeighedCause[]): Explanation[] =>
  causes
    .filter(({ weight }) => weight >= leastSaid)
    .map(({ cause, weight, channel, channels }) => ({
      cause: causeName(cause),
      weight,
      ...(channels === undefined ? {} : { sensors: sensorsOf(channels) }),
      supports:
        channel === undefined || cause !== 'sensor-wrong'
          ? []
          : [statement(`Of all sensors, the sensor of the ${wordsOf(channel)} fits best.`)],
      contradicts: [],
    }));

const sensorsOf = (channels: NonNullable<WeighedCause['channels']>): NonNullable<Explanation['sensors']> =>
  (Object.entries(channels) as [Channel, number][])
    .filter(([, weight]) => weight >= leastSaid / 10)
    .map(([channel, weight]) => ({ sensor: wordsOf(channel).replaceAll(' ', '-'), weight }))
    .sort((a, b) => b.weight - a.weight);

/** `discharge pressure`, from the channel's name. */
const wordsOf = (channel: Channel): string =>
  channel
    .replace(/_.*$/, '')
    .replace(/([A-Z])/g, ' $1')
    .toLowerCase();

function meanOf(over: readonly Pick<JudgedPlateau, 'departures'>[], name: NormalQuantity): Departure | null {
  const seen = over.flatMap(({ departures }) => departures[name] ?? []);
  if (seen.length === 0) return null;
  const mean = (of: (one: Departure) => number) => seen.reduce((sum, one) => sum + of(one), 0) / seen.length;
  return {
    value: mean(({ value }) => value),
    expected: mean(({ expected }) => expected),
    z: mean(({ z }) => z),
  };
}

const shownBy = ({ likeUnits }: CircuitNormal): string =>
  likeUnits === undefined
    ? 'this circuit showed in the same conditions before'
    : 'like units show in the same conditions';

function sentenceOf(
  name: NormalQuantity,
  { value, expected }: Departure,
  { likeUnits }: CircuitNormal,
): Statement {
  const { name: subject, kind, share } = said[name];
  const by = share ? Math.abs(value / expected - 1) : Math.abs(value - expected);
  const direction = value > expected ? 'above' : 'below';
  const ownPast = likeUnits === undefined;
  const conditions = `at the same load and water temperatures${ownPast ? ' before' : ''}`;
  if (share || quantityFacts[name].compared === 'share')
    return statement(
      `${subject} is {by} ${direction} what ${ownPast ? 'this circuit showed' : 'like units show'} ${conditions}.`,
      { by: quantity('share', by) },
    );
  return statement(
    `${subject} is {value}, where ${ownPast ? 'this circuit showed' : 'like units show'} {expected} ${conditions}.`,
    { value: quantity(kind, value), expected: quantity(kind, expected) },
  );
}
