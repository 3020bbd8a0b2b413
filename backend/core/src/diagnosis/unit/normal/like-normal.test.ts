import { describe, expect, it } from 'vitest';
import { leastLike, type LikeCircuit } from '../../../normal/learning/cohort-normal.js';
import { plateausOfWindow } from '../../../normal/plateaus/window-plateaus.js';
import { machineOf } from '../../../normal/quantities/machine.js';
import { normalDraws, seededRandom } from '../../../numerics/index.js';
import { saturated } from '../../causes/sample-channels.js';
import { slicesOfWindows } from '../circuit-findings-of.js';
import { runningCircuit } from '../sample-running.js';
import { bringUpToDate, nothingLearned, type Comparison, type KeptNormal } from './kept-normal.js';
import { readLike, writeLike } from './like-normal.js';
import { learnFrom, learningOf } from './unit-normal.js';

const machine = machineOf({ refrigerant: 'R134a', condenser: 'water' });
const capacity_W = 400_000;

interface Build {
  /** Condensing higher, subcooling larger and superheat larger than that of `runningCircuit`, K. */
  condensing_K: number;
  subcooling_K: number;
  superheat_K: number;
  /** Loads an hour earlier. */
  ahead_h: number;
}

function windowsOf(hours: number, { condensing_K, subcooling_K, superheat_K, ahead_h }: Build) {
  const series = runningCircuit(hours + ahead_h, (own, i) => {
    const condensing = own.liquidTemperature_K[i]! + 5;
    own.dischargePressure_Pa[i] = saturated(condensing + condensing_K);
    own.dischargeTemperature_K[i]! += condensing_K;
    own.liquidTemperature_K[i]! += condensing_K - subcooling_K;
    own.suctionTemperature_K[i]! += superheat_K;
  });
  return slicesOfWindows(series)
    .slice(ahead_h / 2)
    .map(({ start_s, slice }) => plateausOfWindow(slice, 'R134a', start_s));
}

const draw = normalDraws(seededRandom(5));
/** Units of one make, each a little otherwise. */
const another = (): Build => ({
  condensing_K: 0.15 * draw(),
  subcooling_K: 0.3 * draw(),
  superheat_K: 0.2 * draw(),
  ahead_h: 2 * Math.floor(4 + 4 * Math.tanh(draw())),
});
const like: LikeCircuit[] = Array.from({ length: 9 }, (_, k) => ({
  machine,
  capacity_W: capacity_W * (0.8 + 0.05 * k),
  normal: learnFrom(machine, learningOf(windowsOf(60, another()), []))!.normal,
}));

const sound: Build = { condensing_K: 0.1, subcooling_K: -0.2, superheat_K: 0.1, ahead_h: 4 };
/** With a third of its subcooling gone and condensing 2 K higher from its first day on. */
const neverWell: Build = { condensing_K: 2, subcooling_K: 3.5, superheat_K: 0, ahead_h: 4 };
const young = windowsOf(30, sound);
const youngNeverWell = windowsOf(30, neverWell);

const compare = (
  kept: KeptNormal,
  windows: typeof young,
  others: readonly LikeCircuit[] | undefined = like,
): Comparison =>
  bringUpToDate(machine, kept, {
    ...{ circuit: 1, windows, from_s: 0, unsound: [], before: [], ratedCapacity_W: capacity_W },
    ...(others === undefined ? {} : { like: others }),
  });

describe('a circuit without a past of its own', () => {
  it('is judged by what like units do, and departs from them where it never ran well', () => {
    const well = compare(nothingLearned, young);
    expect(well.normal).toMatchObject({ learned: null, like: { departs: false, departed: [] } });
    expect(well.normal.like!.normal.likeUnits).toBe(like.length);
    expect(well.departure).toBeNull();
    expect(well.compared.length).toBeGreaterThanOrEqual(8);
    const { departure, over, normal } = compare(nothingLearned, youngNeverWell);
    expect(departure!.condition).toBe('departs-from-normal');
    expect(departure!.reasons.at(-1)!.text).toContain('{units} like units');
    expect(normal.like!.departs).toBe(true);
    expect(over.length).toBeGreaterThan(0);
    // How alike units are is known from nine of them: never certain.
    expect(departure!.certainty).not.toBe('certain');
  });

  it('is judged by nothing where too few like units are known', () => {
    const few = compare(nothingLearned, youngNeverWell, like.slice(0, leastLike - 1));
    expect(few).toMatchObject({ normal: { learned: null, like: null }, compared: [], departure: null });
  });

  it('is judged by its own past as soon as that is learned', () => {
    const before = compare(nothingLearned, young);
    const later = compare(before.normal, windowsOf(80, sound));
    expect(later.normal.learned).not.toBeNull();
    expect(later.normal.learned!.normal.likeUnits).toBeUndefined();
    expect(later.departure).toBeNull();
  });

  it('is not learned from while it departs from like units as a known cause would have it', () => {
    const { normal } = compare(nothingLearned, youngNeverWell);
    const [span] = normal.like!.departed;
    expect(span).toBeDefined();
    const later = compare(normal, windowsOf(80, neverWell));
    expect(later.normal).toMatchObject({ learned: null, like: { departs: true } });
    expect(later.departure).not.toBeNull();
    // Against itself it would do as it always did.
    expect(compare(nothingLearned, windowsOf(80, neverWell), []).normal.learned).not.toBeNull();
  });

  it('is judged by the like units that were known where none are handed over, also as they are read back', () => {
    const first = compare(nothingLearned, youngNeverWell);
    const read = { ...first.normal, like: readLike(writeLike(first.normal.like!)) };
    expect(read.like).toEqual(first.normal.like);
    const again = bringUpToDate(machine, read, {
      ...{ circuit: 1, windows: youngNeverWell, from_s: 0, unsound: [], before: [] },
    });
    expect(again.departure).toEqual(first.departure);
    expect(again.normal.like).toEqual(first.normal.like);
    expect(readLike(writeLike(first.normal.like!).replace(/"version":\d+/, '"version":0'))).toBeNull();
  });
});
