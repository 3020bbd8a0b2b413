import {
  finishFinding,
  quantity,
  statement,
  type Finding,
  type FindingDraft,
  type FindingSubject,
} from '@coldrounds/core';
import type { CircuitHeard, LastHeard } from '../storage/assessment/silence.repository.js';

const day_s = 86_400;
/** From so much on, of each of two days, samples are missing in a way that a person should know. The project's own choice. */
const incomplete = 0.2;
/** From so much on windows lack what their judgement needs. The project's own choice. */
const mostlyMissing = 0.5;

/**
 * What has been missing for over a day of a unit that sends: a circuit, a signal that superheat needs, or a good part of
 * the samples. A unit that sends nothing at all has a finding of its own (`silenceFinding`), and none of these.
 */
export function missingTelemetry(unit: LastHeard, now_s: number): Finding[] {
  return unit.circuits.flatMap((circuit) => {
    const { newestReading_s: newest_s } = circuit;
    if (newest_s === null || now_s - newest_s >= day_s)
      return longKnown(circuit, now_s) ? [circuitMissing(circuit, now_s)] : [];
    const signals = signalsMissing(circuit, now_s);
    return signals.length > 0 ? signals : samplesMissing(circuit, now_s);
  });
}

/** A circuit that came into the registry within the last day is waited for. */
const longKnown = ({ circuitAddedAt_s: added_s }: CircuitHeard, now_s: number): boolean =>
  added_s === null || now_s - added_s >= day_s;

const unseen = statement('While it is missing, floodback, hunting and a drifting sensor go unnoticed here.');

function circuitMissing({ number, newestReading_s: newest_s }: CircuitHeard, now_s: number): Finding {
  const words = { circuit: quantity('count', number) };
  return finish(
    {
      condition: 'missing-telemetry',
      headline:
        newest_s === null
          ? statement('Circuit {circuit} has never sent telemetry.', words)
          : statement('Circuit {circuit} has sent nothing for {silence}.', {
              ...words,
              silence: quantity('duration', now_s - newest_s),
            }),
      reasons: [
        newest_s === null
          ? statement(
              'The registry lists this circuit, and no reading of it ever came; others of the unit send.',
            )
          : statement('Its last reading was at {last}; others of the unit still send.', {
              last: quantity('instant', newest_s),
            }),
      ],
      explanations: [
        {
          cause: 'data line or controller of this circuit',
          weight: 0.7,
          supports: [statement('The unit’s gateway sends for other circuits.')],
          contradicts: [],
        },
        {
          cause: 'gateway no longer set up for this circuit, or another number in its topics',
          weight: 0.3,
          supports: [],
          contradicts: [],
        },
      ],
      separatingCheck: statement(
        'See whether the gateway shows live values of this circuit. If it does, compare the topics it publishes with the circuit’s number in the registry; if not, check the circuit’s controller and data line.',
      ),
      ...asksSoon,
    },
    { kind: 'circuit', circuit: number },
    newest_s ?? now_s,
    now_s,
  );
}

const neededSignals = [
  { sensor: 'suction-pressure', words: 'suction pressure', of: 'newestPressure_s' },
  { sensor: 'suction-temperature', words: 'suction temperature', of: 'newestTemperature_s' },
] as const;

/** Of the last check of the sensors, so far as it is of now and looked at over a day. */
function signalsMissing(circuit: CircuitHeard, now_s: number): Finding[] {
  const { number, checkedUntil_s: until_s } = circuit;
  if (until_s === null || now_s - until_s > day_s) return [];
  return neededSignals.flatMap(({ sensor, words, of }) => {
    const newest_s = circuit[of];
    if (newest_s !== null && until_s - newest_s < day_s) return [];
    return [
      finish(
        {
          condition: 'missing-telemetry',
          headline:
            newest_s === null
              ? statement(`The ${words} of circuit {circuit} has not come for two days.`, {
                  circuit: quantity('count', number),
                })
              : statement(`The ${words} of circuit {circuit} has not come for {silence}.`, {
                  circuit: quantity('count', number),
                  silence: quantity('duration', until_s - newest_s),
                }),
          reasons: [
            statement('Other signals of the circuit came until {last}.', {
              last: quantity('instant', until_s),
            }),
            statement('Without it there is no superheat: how steadily it is held is not judged.'),
          ],
          explanations: [
            {
              cause: 'sensor or its cable interrupted, and the controller sends no value',
              weight: 0.6,
              supports: [statement('The circuit’s other signals arrive.')],
              contradicts: [],
            },
            {
              cause: 'gateway no longer set up to send this signal',
              weight: 0.4,
              supports: [],
              contradicts: [],
            },
          ],
          separatingCheck: statement(
            'Read the value at the controller. If it is there, the gateway’s list of signals is wrong; if not, check the sensor and its cable.',
          ),
          ...asksSoon,
        },
        { kind: 'sensor', circuit: number, sensor },
        newest_s ?? until_s,
        now_s,
      ),
    ];
  });
}

function samplesMissing(circuit: CircuitHeard, now_s: number): Finding[] {
  const { number, interval_s, onChange, missing, missingBefore } = circuit;
  if (interval_s === null || interval_s <= 0 || onChange) return [];
  const promised = day_s / interval_s;
  const [last, before] = [Math.min(1, missing / promised), Math.min(1, missingBefore / promised)];
  if (last < incomplete || before < incomplete) return [];
  const most = last >= mostlyMissing;
  return [
    finish(
      {
        condition: 'incomplete-telemetry',
        headline: statement('{share} of the samples of circuit {circuit} have been missing for over a day.', {
          share: quantity('share', last),
          circuit: quantity('count', number),
        }),
        reasons: [
          statement(
            'Of the last 24 h {share} did not come, of the 24 h before {before}; the usual interval is {interval}.',
            {
              share: quantity('share', last),
              before: quantity('share', before),
              interval: quantity('duration', interval_s),
            },
          ),
          statement('What came is judged; swings and short floodback can be missed in the gaps.'),
        ],
        explanations: [
          {
            cause: 'connection of the gateway weak or overloaded',
            weight: 0.6,
            supports: [],
            contradicts: [],
          },
          {
            cause: 'gateway or broker drops messages while it cannot send',
            weight: 0.4,
            supports: [],
            contradicts: [],
          },
        ],
        separatingCheck: statement(
          'Look on the page Data health at which hours samples are missing: alike at all units of the site is the connection, at one unit its gateway or data line.',
        ),
        certainty: 'certain',
        urgency: most ? 'next-visit' : 'watch',
        score: most ? 8 : 3,
        waiting: statement('What happens in the gaps is not seen and cannot be recovered later.'),
        visit: [statement('Check the signal strength and the buffer of the gateway.')],
      },
      { kind: 'circuit', circuit: number },
      now_s - 2 * day_s,
      now_s,
    ),
  ];
}

/** As of a unit that has been silent for as long. */
const asksSoon: Pick<FindingDraft, 'certainty' | 'urgency' | 'score' | 'waiting' | 'visit'> = {
  certainty: 'certain',
  urgency: 'this-week',
  score: 25,
  waiting: unseen,
  visit: [statement('Check the sensors, the data line and the controller of the circuit.')],
};

const finish = (draft: FindingDraft, subject: FindingSubject, firstSeen_s: number, now_s: number): Finding =>
  finishFinding(draft, { subject, hazards: ['live-parts'], firstSeen_s, lastSeen_s: now_s });
