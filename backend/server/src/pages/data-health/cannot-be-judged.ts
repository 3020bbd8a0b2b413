import {
  notJudgedOn,
  quantity,
  statement,
  type EvaporatorType,
  type SensorVerdict,
  type SignalName,
  type SignalReports,
  type Statement,
} from '@coldrounds/core';

/** Something that is not judged of a unit, or only roughly, and the reason. */
export interface CannotBeJudged {
  /** `unit`, `circuit 1`, `backup module 1`. */
  part: string;
  because: Statement;
  /** What is not judged for that. */
  cost: Statement;
}

export interface JudgedUnit {
  evaporator: EvaporatorType;
  neverHeard: boolean;
  /** It has a finding that it sends nothing. */
  silent: boolean;
  newest_s: number | null;
  circuits: readonly {
    number: number;
    /** Its stored readings are being converted anew. */
    converting: boolean;
    signals: SignalReports | null;
    /** While its normal is not learned: plateaus seen so far; null: it is learned, or nothing was compared yet. */
    plateausSoFar: number | null;
  }[];
  verdicts: readonly SensorVerdict[];
  /** What the registry does not know. */
  missing: readonly { part: string; fact: string; cost: string }[];
  failures: readonly { part: string; reason: string }[];
}

/** Under this part of what its interval promises a signal lacks enough to say so. The project's own choice. */
const complete = 0.8;

/** What of a circuit depends on a signal that never came in the days that were looked at. */
const costs: readonly { signals: readonly SignalName[]; words: string; cost: string }[] = [
  {
    signals: ['suctionPressure_Pa'],
    words: 'suction pressure',
    cost: 'Superheat and all that is judged by it: floodback, starving, hunting, steady floor, headroom.',
  },
  {
    signals: ['suctionTemperature_K'],
    words: 'suction temperature',
    cost: 'Superheat and all that is judged by it: floodback, starving, hunting, steady floor, headroom.',
  },
  {
    signals: ['valveOpening_pct'],
    words: 'valve opening',
    cost: 'The valve’s travel and wear, friction as the origin of hunting, and a valve at its limit.',
  },
  {
    signals: ['dischargePressure_Pa'],
    words: 'discharge pressure',
    cost: 'Condensing temperature and subcooling: a fouled condenser, gas in the circuit, a wrong charge.',
  },
  {
    signals: ['dischargeTemperature_K'],
    words: 'discharge temperature',
    cost: 'The superheat of the discharge, by which a worn compressor is told from other causes.',
  },
  {
    signals: ['liquidTemperature_K'],
    words: 'liquid temperature',
    cost: 'Subcooling: missing or excess refrigerant and a restricted liquid line.',
  },
  {
    signals: ['compressorLoad_pct'],
    words: 'compressor load',
    cost: 'Causes that show at one load and not at another, and swings of the load told from those of the loop.',
  },
  {
    signals: ['enteringWaterTemperature_K', 'leavingWaterTemperature_K'],
    words: 'water temperatures',
    cost: 'The approach of the evaporator: its fouling and its flow.',
  },
  {
    signals: ['condenserEnteringTemperature_K'],
    words: 'temperature entering the condenser',
    cost: 'The approach of the condenser: its fouling told from warm water or air.',
  },
  {
    signals: ['compressorPower_W'],
    words: 'compressor power',
    cost: 'A measured loss of efficiency; what energy costs is worked out from the cycle alone.',
  },
];

/** A flooded evaporator has no superheat at its outlet to judge. */
const notOfFlooded: ReadonlySet<SignalName> = new Set(['suctionTemperature_K']);

const ofCircuit = (number: number) => `circuit ${number}`;

/** All that cannot be judged of a unit now, what matters most first. */
export function cannotBeJudged(unit: JudgedUnit): CannotBeJudged[] {
  return [
    ...ofSilence(unit),
    ...unit.circuits.flatMap(({ number, converting }) =>
      converting
        ? [
            {
              part: ofCircuit(number),
              because: statement('Its readings are being converted anew after a correction of the registry.'),
              cost: statement('Everything on this circuit, until that is done.'),
            },
          ]
        : [],
    ),
    ...unit.circuits.flatMap((circuit) => [
      ...ofSignals(unit, circuit),
      ...ofSensors(unit.verdicts, circuit.number),
      ...ofNormal(circuit),
    ]),
    ...unit.failures.map(({ part, reason }) => ({
      part,
      because: plain(`The judgement of some of it failed: ${reason}`),
      cost: statement('What fell into that time.'),
    })),
    ...unit.missing.map(({ part, fact, cost }) => ({
      part,
      because: plain(`Not known in the registry: ${fact}.`),
      cost: plain(cost),
    })),
  ];
}

/** Words from elsewhere, in which a brace is a brace. */
const plain = (text: string): Statement => ({ text: text.replaceAll(/[{}]/g, ''), quantities: {} });

function ofSilence({ neverHeard, silent, newest_s }: JudgedUnit): CannotBeJudged[] {
  if (!neverHeard && !silent) return [];
  return [
    {
      part: 'unit',
      because:
        neverHeard || newest_s === null
          ? statement('It has never sent a reading.')
          : statement('It sends nothing; the last reading was at {last}.', {
              last: quantity('instant', newest_s),
            }),
      cost: statement('Everything since then.'),
    },
  ];
}

function ofSignals(
  { evaporator }: JudgedUnit,
  { number, signals: report }: JudgedUnit['circuits'][number],
): CannotBeJudged[] {
  if (report === null) return [];
  const part = ofCircuit(number);
  const days = { from: quantity('instant', report.from_s), to: quantity('instant', report.to_s) };
  const needed = costs.filter(
    ({ signals }) => evaporator === 'dry-expansion' || !signals.every((name) => notOfFlooded.has(name)),
  );
  const absent = needed
    .filter(({ signals }) => signals.every((name) => report.signals[name].values === 0))
    .map(({ words, cost }) => ({
      part,
      because: statement(`No ${words} came from {from} to {to}.`, days),
      cost: statement(cost),
    }));
  const sparse = needed.flatMap(({ signals, words }) => {
    const share = Math.min(...signals.map((name) => report.signals[name].completeness ?? 1));
    return share < complete && !signals.every((name) => report.signals[name].values === 0)
      ? [
          {
            part,
            because: statement(`Only {share} of the values of the ${words} came from {from} to {to}.`, {
              ...days,
              share: quantity('share', share),
            }),
            cost: statement('What happened in the gaps: short swings and short floodback.'),
          },
        ]
      : [];
  });
  const clocks = report.clocksApart
    ? [
        {
          part,
          because: statement('The clocks of its signals are minutes apart.'),
          cost: statement('Which of two signals moves first, and causes that are told by it.'),
        },
      ]
    : [];
  return [...absent, ...sparse, ...clocks];
}

function ofSensors(verdicts: readonly SensorVerdict[], number: number): CannotBeJudged[] {
  const not = notJudgedOn(verdicts, number);
  const of = (when: boolean, because: string, cost: string) =>
    when ? [{ part: ofCircuit(number), because: statement(because), cost: statement(cost) }] : [];
  return [
    ...of(
      not.superheatLevel,
      'A sensor from which superheat is worked out reads wrong, or may.',
      'The level of superheat: floodback, starving, distance from the setpoint, steady floor, headroom.',
    ),
    ...of(not.superheatSwing, 'Swings may be those of a faulty sensor.', 'Hunting.'),
    ...of(
      not.subcooling,
      'A sensor from which subcooling is worked out reads wrong, or may.',
      'Subcooling: a wrong charge, a restricted liquid line.',
    ),
    ...of(
      not.dischargeSuperheat,
      'A sensor from which the superheat of the discharge is worked out reads wrong, or may.',
      'The superheat of the discharge.',
    ),
  ];
}

function ofNormal({ number, plateausSoFar }: JudgedUnit['circuits'][number]): CannotBeJudged[] {
  return plateausSoFar === null
    ? []
    : [
        {
          part: ofCircuit(number),
          because: statement(
            'What is normal for it is not learned yet: {seen} plateaus of steady running were seen so far, on days on which nothing is known to be wrong.',
            { seen: quantity('count', plateausSoFar) },
          ),
          cost: statement('Slow and slight faults of the refrigerant circuit.'),
        },
      ];
}
