import { day_s, type EvidenceContext } from './evidence-context.js';

const width_s = 900;

/** Which quarters of an hour of the last two days brought readings, circuit by circuit. */
export async function silence({ sources, unit, now_s }: EvidenceContext) {
  const to_s = Math.ceil(now_s / width_s) * width_s;
  const from_s = to_s - 2 * day_s;
  const circuits = await Promise.all(
    unit.circuits.map(async ({ id, number }) => ({
      circuit: number,
      time_s: [...(await sources.series.bins('readings', id, from_s, to_s, width_s)).time_s],
    })),
  );
  return { kind: 'silence' as const, from_s, to_s, width_s, circuits };
}
