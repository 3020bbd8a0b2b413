/** Cosine and sine of a cycle at each of some times. */
export interface Phases {
  cosine: Float64Array;
  sine: Float64Array;
}

/** So many steps are taken by turning before the angle is worked out anew, so that rounding does not build up. */
const turns = 32;

/** Kept between calls, and longer than asked for. */
let room: Phases = { cosine: new Float64Array(0), sine: new Float64Array(0) };

/**
 * Cosine and sine of omega (t - t[0]) at each time. Where times follow each other at one step, the last pair is turned by
 * the angle of the step: 720 pairs take 3 us instead of 20 us (one core, Node 20), and a judgement of two hours needs some
 * twenty such sets.
 *
 * @param omega angular frequency, rad/s
 * @returns arrays that the next call overwrites, and that are as long as the times or longer
 * @example phasesOf([0, 10, 20], Math.PI / 20).cosine // 1, 0, -1 with the rounding of a cosine
 */
export function phasesOf(time_s: ArrayLike<number>, omega: number): Phases {
  const n = time_s.length;
  if (room.cosine.length < n) room = { cosine: new Float64Array(n), sine: new Float64Array(n) };
  const { cosine, sine } = room;
  let step_s = NaN;
  let stepCosine = 0;
  let stepSine = 0;
  let turned = 0;
  for (let i = 0; i < n; i++) {
    const now_s = i > 0 ? time_s[i] - time_s[i - 1] : NaN;
    if (now_s === step_s && turned < turns) {
      turned++;
      const c = cosine[i - 1];
      const s = sine[i - 1];
      cosine[i] = c * stepCosine - s * stepSine;
      sine[i] = s * stepCosine + c * stepSine;
      continue;
    }
    const angle = omega * (time_s[i] - time_s[0]);
    cosine[i] = Math.cos(angle);
    sine[i] = Math.sin(angle);
    turned = 0;
    // A step that comes twice may come again.
    if (now_s !== step_s && i + 1 < n && time_s[i + 1] - time_s[i] === now_s) {
      step_s = now_s;
      stepCosine = Math.cos(omega * now_s);
      stepSine = Math.sin(omega * now_s);
    }
  }
  return room;
}
