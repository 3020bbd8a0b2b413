import type { Finding } from '../diagnosis/finding.js';
import { quantity, statement, type Statement } from '../diagnosis/statement.js';
import type { PlateauDepartures } from '../normal/departures/departures.js';
import { meanDepartures } from '../normal/departures/mean-departures.js';
import type { CircuitNormal } from '../normal/learning/circuit-normal.js';
import type { Plateau } from '../normal/plateaus/find-plateaus.js';
import type { Machine } from '../normal/quantities/machine.js';
import { areHeldBack } from '../normal/quantities/fans.js';
import type { ChannelValues, NormalQuantity } from '../normal/quantities/quantities.js';
import { valueOrNaN } from '../refrigerants/index.js';
import { compressorPower, meanChannels, type PowerSource } from './cycle/compressor-power.js';
import { isSurelyNegative, isSurelyPositive, propagated, type Estimate } from './estimate.js';
import { idealCycle, shareGivenAway, type CycleState } from './cycle/ideal-cycle.js';
import { evaporatingLostToSuperheat, zoneConductances } from './cycle/superheat-zone.js';

/** What a circuit gives away in energy as long as nobody acts, and what that rests on. Plain data: it can be stored. */
export interface CircuitEnergy {
  /** Conditions of the open findings that it follows from; once one of them has ended it is not valid any more. */
  conditions: string[];
  from_s: number;
  to_s: number;
  /** Plateaus of steady running that it rests on. */
  plateaus: number;
  /** Evaporating temperature lower, and condensing temperature higher, than they could be; null where nothing surely is. */
  evaporatingLost_K: Estimate | null;
  evaporatingFrom: 'departure' | 'superheat' | null;
  condensingGained_K: Estimate | null;
  /** Share of the compressor's energy that is given away; null where it cannot be told. */
  share: Estimate | null;
  /** The same by the departure from normal alone: what a visit can be measured by. Null where none is sure. */
  shareAgainstNormal: Estimate | null;
  power_W: Estimate | null;
  powerFrom: PowerSource | null;
  /** Hours of running in a week, by the last week's windows. */
  running_h_week: number;
  /** Null where it cannot be told; `missing` says why. */
  energy_J_week: Estimate | null;
  assumptions: Statement[];
  missing: Statement | null;
}

export interface CircuitEnergyInput {
  machine: Machine;
  /** Plateaus of the last week. */
  plateaus: readonly Plateau[];
  running_h_week: number;
  /** A departure from normal that lasts, with the plateaus that show it; null: none. */
  departure: { normal: CircuitNormal; over: readonly PlateauDepartures[] } | null;
  /** The open finding that superheat could be lower; null: none. */
  headroom: Finding | null;
  /** Cooling capacity of the circuit at full load, W; null: not known. */
  ratedCapacity_W: number | null;
}

/** Doubt of the way itself: the compressor's efficiency also changes a little with its pressures. Judgement, no source. */
const wayDoubt = 0.15;
/** How well a week's steady running stands for all of its running. Judgement, no source. */
const steadyDoubt = 0.1;
const usualSubcooling_K = 5;

/**
 * Energy that a circuit gives away, from its own cycle: the evaporating temperature lost (against the learned normal at
 * the same load and water, or to superheat that could be lower) and the condensing temperature gained (against the
 * learned normal) are put into the ideal cycle at the state in which the circuit runs; the change of COP is a share of
 * the compressor's energy for the same cooling; that times the compressor's power and hours of running is energy.
 *
 * Null where no finding says that anything is given away. Where one does and a measurement is missing, `missing` says which.
 */
export function circuitEnergy(input: CircuitEnergyInput): CircuitEnergy | null {
  const { machine, plateaus, departure, headroom, running_h_week } = input;
  if (departure === null && headroom === null) return null;
  const newest = plateaus.length > 0 ? plateaus : (departure?.over.map(({ plateau }) => plateau) ?? []);
  const at = meanChannels(newest);
  const conditions = [
    ...(departure === null ? [] : ['departs-from-normal']),
    ...(headroom === null ? [] : ['headroom']),
  ];
  const base: CircuitEnergy = {
    conditions,
    from_s: newest[0]?.from_s ?? 0,
    to_s: newest.at(-1)?.to_s ?? 0,
    plateaus: newest.length,
    ...{ evaporatingLost_K: null, evaporatingFrom: null, condensingGained_K: null },
    ...{ share: null, shareAgainstNormal: null, power_W: null, powerFrom: null, energy_J_week: null },
    running_h_week,
    assumptions: [],
    missing: null,
  };
  const { state, assumed } = stateOf(machine, at);
  if (state === null)
    return {
      ...base,
      missing: statement(
        'Energy is not estimated: steady running with suction and discharge pressure and suction temperature is missing.',
      ),
    };
  const moved = temperaturesMoved(input, at, state);
  if (moved.evaporatingLost_K === null && moved.condensingGained_K === null)
    return { ...base, ...moved.told, missing: moved.missing };
  const share = shareOf(machine, state, moved);
  const shareAgainstNormal = moved.departed === null ? null : shareOf(machine, state, moved.departed);
  const fans = departure?.over.some(({ at }) => areHeldBack(machine, at)) ? [fansAssumed] : [];
  const told = { ...base, ...moved.told, share, shareAgainstNormal, assumptions: [...assumed, ...fans] };
  return withPower(told, input, at, state);
}

/** By how much the evaporating temperature is lower and the condensing temperature higher, K; null where nothing is told of it. */
interface MovedTemperatures {
  evaporatingLost_K: Estimate | null;
  condensingGained_K: Estimate | null;
}

interface Moved extends MovedTemperatures {
  departed: MovedTemperatures | null;
  told: Pick<CircuitEnergy, 'evaporatingLost_K' | 'evaporatingFrom' | 'condensingGained_K'>;
  missing: Statement | null;
}

function temperaturesMoved(input: CircuitEnergyInput, at: ChannelValues, state: CycleState): Moved {
  const departed = input.departure === null ? null : departedBy(input.machine, input.departure);
  const superheat =
    input.headroom === null ? null : lostToSuperheat(input.machine, input.headroom, at, state);
  // Superheat held too high also shows in the departure: what is lost is counted once, by the larger of the two.
  const bySuperheat =
    superheat !== null && superheat.value > (departed?.evaporatingLost_K?.value ?? 0) ? superheat : null;
  const evaporatingLost_K = bySuperheat ?? departed?.evaporatingLost_K ?? null;
  const condensingGained_K = departed?.condensingGained_K ?? null;
  return {
    ...{ evaporatingLost_K, condensingGained_K, departed },
    told: {
      ...{ evaporatingLost_K, condensingGained_K },
      evaporatingFrom: evaporatingLost_K === null ? null : bySuperheat === null ? 'departure' : 'superheat',
    },
    missing:
      input.departure !== null
        ? statement(
            'What departs from normal here moves neither evaporating nor condensing temperature by more than its uncertainty: no energy is claimed.',
          )
        : statement(
            'Energy is not estimated: the entering and leaving temperature of the chilled water are missing, or do not fit the evaporating temperature.',
          ),
  };
}

/**
 * Evaporating temperature lost and condensing temperature gained against normal, K, each where it surely differs from it,
 * in either direction: what got better is counted against what got worse. The condenser approach is to the leaving water;
 * where its rise departs too, that moves the condensing temperature as much.
 */
function departedBy(
  machine: Machine,
  departure: NonNullable<CircuitEnergyInput['departure']>,
): MovedTemperatures {
  const { evaporatingLost_K, condensingGained_K } = differencesFromNormal(machine, departure);
  const surely = (one: Estimate | null) =>
    one !== null && Math.abs(one.value) > 2 * one.uncertainty ? one : null;
  return { evaporatingLost_K: surely(evaporatingLost_K), condensingGained_K: surely(condensingGained_K) };
}

/**
 * The same with their uncertainties, sure or not; null where a quantity cannot be compared. Fans that are held back take up what
 * a condenser has lost by turning faster: condensing is higher only for the part of the running at which they were not, although
 * the approach, which is compared at full fans, departs all along.
 */
export function differencesFromNormal(
  machine: Pick<Machine, 'condenser'>,
  { normal, over }: NonNullable<CircuitEnergyInput['departure']>,
): MovedTemperatures {
  const free = over.filter(({ at }) => !areHeldBack(machine, at));
  const condenser = sumOfMeans(normal, free, ['condenserApproach_K', 'condenserDifference_K']);
  const ofRunning = length_s(free) / length_s(over);
  return {
    evaporatingLost_K: sumOfMeans(normal, over, ['evaporatorApproach_K']),
    condensingGained_K: condenser && {
      value: condenser.value * ofRunning,
      uncertainty: condenser.uncertainty * ofRunning,
    },
  };
}

const length_s = (over: readonly PlateauDepartures[]): number =>
  over.reduce((sum, { plateau }) => sum + plateau.to_s - plateau.from_s, 0);

/** Mean differences of quantities together; null where the first of them cannot be compared. */
function sumOfMeans(
  normal: CircuitNormal,
  over: readonly PlateauDepartures[],
  names: readonly NormalQuantity[],
): Estimate | null {
  const mean = over.length === 0 ? null : meanDepartures(normal, over);
  if (mean === null || !mean.order.includes(names[0])) return null;
  const places = names.map((name) => mean.order.indexOf(name)).filter((place) => place >= 0);
  const value = places.reduce((sum, place) => sum + mean.difference[place], 0);
  let variance = 0;
  for (const a of places) for (const b of places) variance += mean.covariance.get(a, b);
  return { value, uncertainty: Math.sqrt(Math.max(0, variance)) };
}

function lostToSuperheat(
  { refrigerant, dew }: Machine,
  headroom: Finding,
  at: ChannelValues,
  state: CycleState,
): Estimate | null {
  const { headroom: less, held } = headroom.headline.quantities;
  if (less === undefined || held === undefined) return null;
  const evaporator = {
    refrigerant,
    enteringWater_K: at.enteringWaterTemperature_K,
    leavingWater_K: at.leavingWaterTemperature_K,
    evaporating_K: dew.temperature(state.suctionPressure_Pa),
    superheat_K: held.value,
    effect_J_kg: idealCycle(refrigerant, state).effect_J_kg,
  };
  const [low, high] = zoneConductances;
  const lost = propagated(
    [
      { value: less.value, uncertainty: less.uncertainty ?? 0 },
      // Anywhere between the two: a rectangular distribution (JCGM 100:2008, 4.3.7).
      { value: (low + high) / 2, uncertainty: (high - low) / Math.sqrt(12) },
    ],
    ([less_K, conductances]) =>
      valueOrNaN(() => evaporatingLostToSuperheat(evaporator, less_K, conductances) ?? NaN),
  );
  return lost !== null && isSurelyPositive(lost) ? lost : null;
}

/** The cycle at mean readings, and what had to be assumed; null where its pressures or suction temperature are missing. */
export function stateOf(
  machine: Machine,
  at: ChannelValues,
): { state: CycleState | null; assumed: Statement[] } {
  const bubble_K = machine.bubble.temperature(at.dischargePressure_Pa);
  const known = Number.isFinite(at.liquidTemperature_K);
  const state: CycleState = {
    suctionPressure_Pa: at.suctionPressure_Pa,
    suctionTemperature_K: at.suctionTemperature_K,
    dischargePressure_Pa: at.dischargePressure_Pa,
    liquidTemperature_K: known ? at.liquidTemperature_K : bubble_K - usualSubcooling_K,
  };
  const cop = valueOrNaN(() => idealCycle(machine.refrigerant, state).cop);
  return {
    state: cop > 0 ? state : null,
    assumed: [
      statement(
        'Assumes the same cooling, the same superheat and subcooling but for what is named, and a compressor of the same efficiency.',
      ),
      ...(known
        ? []
        : [
            statement('No liquid temperature is sent: subcooling of {subcooling} is assumed.', {
              subcooling: quantity('temperature-difference', usualSubcooling_K),
            }),
          ]),
    ],
  };
}

/** Share given away by temperatures that moved, with its uncertainty. */
export function shareOf(machine: Machine, state: CycleState, moved: MovedTemperatures): Estimate | null {
  const nothing = { value: 0, uncertainty: 0 };
  const share = propagated(
    [moved.evaporatingLost_K ?? nothing, moved.condensingGained_K ?? nothing],
    ([evaporating_K, condensing_K]) =>
      valueOrNaN(() => shareGivenAway(machine.refrigerant, state, { evaporating_K, condensing_K })),
  );
  if (share === null) return null;
  return { value: share.value, uncertainty: Math.hypot(share.uncertainty, wayDoubt * share.value) };
}

const powerSaid: Record<PowerSource, string> = {
  measured: 'The power of the compressors is measured.',
  'water-heat':
    'The power of the compressors is worked out from the heat that the chilled water gives up and the measured states of the refrigerant.',
  'rated-capacity':
    'The power of the compressors is estimated from rated capacity and load, to about ± 25 %.',
};

function withPower(
  energy: CircuitEnergy,
  { machine, ratedCapacity_W }: CircuitEnergyInput,
  at: ChannelValues,
  state: CycleState,
): CircuitEnergy {
  const { share, running_h_week } = energy;
  if (share === null || !isSurelyPositive(share))
    return { ...energy, missing: share !== null && isSurelyNegative(share) ? saves : cancels };
  const power = compressorPower(machine, at, state, ratedCapacity_W);
  if (power === null)
    return {
      ...energy,
      missing: statement(
        'Only a share is given: for energy, compressor power, or the flow and temperatures of the chilled water, or the load of the compressor is missing.',
      ),
    };
  const { from, ...power_W } = power;
  const value = share.value * power.value * running_h_week * 3600;
  const relative = Math.hypot(share.uncertainty / share.value, power.uncertainty / power.value, steadyDoubt);
  return {
    ...energy,
    power_W,
    powerFrom: from,
    energy_J_week: { value, uncertainty: relative * value },
    assumptions: [
      ...energy.assumptions,
      ...(energy.evaporatingFrom === 'superheat' ? [superheatAssumed] : []),
      statement(powerSaid[from]),
      statement('Running of {hours} a week, as in the last one; its steady part stands for all of it.', {
        hours: quantity('duration', running_h_week * 3600),
      }),
    ],
  };
}

const fansAssumed = statement(
  'While the fans of the condenser are held back they hold the condensing temperature: only running at full fans counts as condensing higher, and what the fans use more is not counted.',
);

const cancels = statement(
  'What is better and what is worse cancel within their uncertainty: no loss of energy is claimed.',
);
const saves = statement(
  'The circuit takes less energy than it did before under the same conditions: no loss is claimed.',
);

const superheatAssumed = statement(
  'What superheat costs is worked out for an evaporator in counterflow, in which vapour passes on between {low} and {high} of the heat that boiling refrigerant does (judgement, no source).',
  { low: quantity('share', zoneConductances[0]), high: quantity('share', zoneConductances[1]) },
);
