import { quantity, statement } from '../../diagnosis/index.js';
import type { CircuitSeries } from '../../telemetry/circuit-series.js';
import type { ImpossibleRunning } from '../running/impossible-running.js';
import type { AnotherPlace } from '../running/reads-another-place.js';
import { effectOfRegistry } from './effect-on-machine.js';
import { kelvins, type SensorDraft } from './sensor-findings.js';

const placeWords: Record<AnotherPlace['place'], string> = {
  'entering water': 'of the entering water',
  'leaving water': 'of the leaving water',
  'condenser leaving': 'that leaves the condenser',
  ambient: 'of the ambient',
};

/** A suction sensor that is another one under its name: nothing is judged by it, and nothing of the machine is wrong yet. */
export function anotherPlaceDraft(found: AnotherPlace, { time_s }: CircuitSeries): SensorDraft {
  const where = placeWords[found.place];
  return {
    condition: 'sensor-misplaced',
    sensor: 'suction-temperature',
    headline: statement(
      `What is sent as suction temperature is the temperature ${where}: superheat is not told from it.`,
    ),
    reasons: [
      statement(
        'Running and standing, the two stay within {scatter} of each other while both move through {range}.',
        { scatter: kelvins(Math.abs(found.offset_K) + found.scatter_K), range: kelvins(found.range_K) },
      ),
      statement(
        'Through {changes} starts and stops it does not leave that temperature: a sensor on the suction pipe falls with saturation at a start and takes the room at a stop.',
        { changes: quantity('count', found.changes) },
      ),
      statement('The controller may well have the right sensor: only the figures computed here are wrong.'),
    ],
    separatingCheck: statement(
      'Compare the points of the gateway with the wiring list: which input is sent under which name.',
    ),
    certainty: 'likely',
    urgency: 'watch',
    score: 30,
    visit: [
      statement('Usually no visit is needed: correct the point, and compare superheat with the controller.'),
    ],
    firstSeen_s: time_s[0],
    lastSeen_s: time_s[time_s.length - 1],
  };
}

const whyImpossible: Record<ImpossibleRunning['because'], string> = {
  'lifts-nothing': 'the compressor would raise the pressure by a factor of {ratio} only',
  superheat: 'superheat would be {superheat}',
  approach: 'the water would leave {approach} over the saturation temperature',
};

/** Readings that fit no machine: units or scales that are mixed up on their way, before any sensor is doubted. */
export function impossibleDraft(
  found: ImpossibleRunning,
  { time_s }: CircuitSeries,
  running: readonly number[],
): SensorDraft {
  const { superheat_K, approach_K, pressureRatio, because } = found;
  const all = {
    ratio: quantity('ratio', pressureRatio),
    superheat: kelvins(superheat_K),
    approach: kelvins(approach_K),
  };
  const name = ({ 'lifts-nothing': 'ratio', superheat: 'superheat', approach: 'approach' } as const)[because];
  return {
    condition: 'readings-impossible',
    sensor: 'suction-pressure',
    headline: statement(
      `While running, ${whyImpossible[because]}, which no machine does: a unit or scale is mixed up, or refrigerant or reference is wrong.`,
      { [name]: all[name] },
    ),
    reasons: [
      statement('Median of settled running. Sensors that are wrong each by itself do not explain it.'),
      effectOfRegistry,
    ],
    explanations: [
      {
        cause:
          'a unit or scale mixed up between controller and gateway, such as bar for pascals or Fahrenheit for Celsius',
        weight: 0.7,
        supports: [],
        contradicts: [],
      },
      {
        cause: 'a wrong refrigerant or pressure reference in the registry',
        weight: 0.2,
        supports: [],
        contradicts: [],
      },
    ],
    separatingCheck: statement(
      'Read suction pressure and temperature on the controller and compare number and unit with what is sent.',
    ),
    certainty: 'likely',
    urgency: 'watch',
    score: 30,
    visit: [statement('Usually no visit is needed: correct the points or the registry.')],
    firstSeen_s: time_s[running[0]],
    lastSeen_s: time_s[running[running.length - 1]],
  };
}
