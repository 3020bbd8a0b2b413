import type { FindingSubject } from '@coldrounds/core';
import { day_s, type EvidenceContext } from './evidence-context.js';

const width_s = 900;

const columns = {
  'suction-pressure': 'suction_pressure_pa',
  'suction-temperature': 'suction_temperature_k',
} as const;

/**
 * How much came in the quarters of an hour of the last two days, circuit by circuit: of all readings, or of the one
 * signal that the finding is on; as a part of the most that a quarter brought.
 */
export async function silence({ sources, unit, finding, now_s }: EvidenceContext) {
  const to_s = Math.ceil(now_s / width_s) * width_s;
  const from_s = to_s - 2 * day_s;
  const { subject } = finding;
  const column =
    subject.kind === 'sensor' && subject.sensor in columns
      ? columns[subject.sensor as keyof typeof columns]
      : null;
  const circuits = await Promise.all(
    unit.circuits.map(async ({ id, number }) => {
      const { time_s, count } = await sources.series.counts(id, column, from_s, to_s, width_s);
      const most = count.reduce((largest, each) => Math.max(largest, each), 0);
      return { circuit: number, time_s, share: count.map((each) => each / most) };
    }),
  );
  return {
    ...{ kind: 'silence' as const, from_s, to_s, width_s, circuits },
    of: {
      circuit: 'circuit' in subject ? subject.circuit : null,
      signal: column === null ? null : sensorOf(subject),
    },
  };
}

const sensorOf = (subject: FindingSubject): string | null =>
  subject.kind === 'sensor' ? subject.sensor : null;
