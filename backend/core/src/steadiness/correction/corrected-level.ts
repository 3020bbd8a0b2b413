import { quantity, statement, type Statement } from '../../diagnosis/statement.js';
import { isCorrected, type SensorVerdict } from '../../diagnosis/not-judged.js';
import { sensorWords } from '../../sensors/findings/sensor-findings.js';
import type { SensorName } from '../../sensors/standstill/thermal-consensus.js';
import type { CircuitEntry } from '../../telemetry/registry.js';
import { correctedWindow, knownErrors, type SensorErrors } from './corrected-windows.js';
import type { WindowJudgement } from '../windows/window-judgement.js';

interface Spans {
  week: readonly WindowJudgement[];
  day: readonly WindowJudgement[];
  earlier: readonly WindowJudgement[];
}

export interface CorrectedLevel extends Spans {
  /** A constant error was corrected: the distance from the setpoint is then the sensor's doing. */
  constantError: boolean;
  /** What was corrected, as sentences for the findings that follow from it. */
  corrections: Statement[];
}

/**
 * Windows with the measured errors of their sensors taken out. When a constant error began is not known before it was
 * first seen, so that windows before that are left out, and there is no earlier time to compare with. Null where nothing
 * is to be corrected.
 */
export function correctedLevel(
  spans: Spans,
  refrigerant: string,
  circuit: CircuitEntry,
  verdicts: readonly SensorVerdict[],
): CorrectedLevel | null {
  const errors = knownErrors(verdicts, circuit.number);
  const names = Object.keys(errors);
  if (names.length === 0) return null;
  const constant = names.filter((name) => errors[name]!.bias !== 0);
  const since_s = Math.max(
    ...verdicts
      .filter(({ subject, error }) => subject.kind === 'sensor' && constant.includes(subject.sensor) && error)
      .map(({ firstSeen_s }) => firstSeen_s ?? -Infinity),
    -Infinity,
  );
  const corrected = (windows: readonly WindowJudgement[]) =>
    windows
      .filter((window) => window.to_s > since_s)
      .map((window) => correctedWindow(window, refrigerant, circuit, errors));
  return {
    week: corrected(spans.week),
    day: corrected(spans.day),
    earlier: constant.length > 0 ? [] : spans.earlier,
    constantError: constant.some((name) => name.startsWith('suction')),
    corrections: [
      ...refrigerantSentence(verdicts, circuit.number),
      ...correctionSentences(withoutRefrigerant(verdicts, circuit.number)),
    ],
  };
}

const ofRefrigerant = ({ condition, subject, error, certainty }: SensorVerdict, circuit: number): boolean =>
  condition === 'wrong-refrigerant' &&
  subject.kind === 'sensor' &&
  subject.circuit === circuit &&
  isCorrected({ condition, subject, error, certainty });

const refrigerantSentence = (verdicts: readonly SensorVerdict[], circuit: number): Statement[] =>
  verdicts.some((verdict) => ofRefrigerant(verdict, circuit))
    ? [statement('Recomputed with the refrigerant that the circuit behaves like.')]
    : [];

const withoutRefrigerant = (verdicts: readonly SensorVerdict[], circuit: number): SensorErrors =>
  knownErrors(
    verdicts.filter((verdict) => !ofRefrigerant(verdict, circuit)),
    circuit,
  );

function correctionSentences(errors: SensorErrors): Statement[] {
  return Object.entries(errors).flatMap(([name, error]) => {
    if (!error) return [];
    const kind = name.endsWith('pressure') ? 'pressure-difference' : 'temperature-difference';
    const words = sensorWords[name as SensorName];
    const sentences: Statement[] = [];
    if (error.bias !== 0)
      sentences.push(
        statement(
          `Corrected for the error of the ${words}, which reads {bias} too ${error.bias > 0 ? 'high' : 'low'}.`,
          { bias: quantity(kind, Math.abs(error.bias), error.uncertainty) },
        ),
      );
    if (error.noise)
      sentences.push(
        statement(`The noise of the ${words}, {noise} on a single reading, is taken out.`, {
          noise: quantity(kind, error.noise),
        }),
      );
    return sentences;
  });
}
