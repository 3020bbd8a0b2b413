import { blockDays, blockOf } from '@coldrounds/core';
import type { FigurePieces } from '../figures/kept-figures.js';
import { mostNamed } from '../ask/daily-figures.js';
import { settingChanges, type MemberChange } from './changes.js';
import { pause } from '../thread/while-asked.js';

const day_s = 86_400;
/** Settings differ by half a kelvin at least; less is a controller that adapts its setpoint. Judgement, no source. */
const leastStep_K = 0.5;
/** Days beside a span without which a step at its ends could not be told. */
export const setpointMargin_s = 21 * day_s;

/**
 * Lasting steps of the superheat setpoint that circuits send, told of the first day of the new one. Of each day its mean
 * over the steady minutes counts (superheat less how far it lies over the setpoint): within a week either side of a
 * change medians of these are compared, so that a day with both settings does no harm.
 */
export async function setpointChanges(
  repository: FigurePieces,
  circuitIds: readonly number[],
  from_s: number,
  to_s: number,
): Promise<MemberChange[]> {
  const first_s = blockOf(from_s - setpointMargin_s);
  const days = Math.ceil((to_s + setpointMargin_s - first_s) / (blockDays * day_s)) * blockDays;
  const place = new Map(circuitIds.map((id, index) => [id, index]));
  const setpoint_K = new Float32Array(circuitIds.length * days).fill(NaN);
  const only = circuitIds.length <= mostNamed ? circuitIds : null;
  for (let at = 0; at < days; at += blockDays) {
    const pieces = repository.pieces(
      first_s + at * day_s,
      ['steadyMinutes', 'superheatMean_K', 'setpointOffset_K'],
      only,
    );
    for await (const { circuitIds: ids, columns } of pieces) {
      const { steadyMinutes, superheatMean_K: mean, setpointOffset_K: offset } = columns;
      ids.forEach((id, row) => {
        const own = place.get(id);
        if (own === undefined) return;
        for (let day = 0; day < blockDays; day++) {
          const from = row * blockDays + day;
          if (steadyMinutes![from]! >= leastSteady_min)
            setpoint_K[own * days + at + day] = mean![from]! - offset![from]!;
        }
      });
    }
  }
  const found: MemberChange[] = [];
  for (const [own, memberId] of circuitIds.entries()) {
    // Pages of others are answered meanwhile.
    if (own % circuitsAtOnce === 0) await pause();
    const own_K = setpoint_K.subarray(own * days, (own + 1) * days);
    found.push(...settingChanges(memberId, first_s, own_K, { least: leastStep_K }));
  }
  return found;
}

const circuitsAtOnce = 1000;
/** A day with less steady running than this tells nothing of its setpoint. Judgement, no source. */
const leastSteady_min = 10;
