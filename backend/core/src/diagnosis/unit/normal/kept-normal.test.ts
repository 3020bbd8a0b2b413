import { describe, expect, it } from 'vitest';
import { packComparisons, packPlateaus, unpackComparisons, unpackPlateaus } from '../../../packing/index.js';
import { plateausOfWindow, type WindowPlateaus } from '../../../normal/plateaus/window-plateaus.js';
import { machineOf } from '../../../normal/quantities/machine.js';
import { saturated } from '../../causes/sample-channels.js';
import { slicesOfWindows } from '../circuit-findings-of.js';
import {
  bringUpToDate,
  normalNote,
  nothingLearned,
  readLearned,
  writeLearned,
  type Comparison,
  type KeptNormal,
} from './kept-normal.js';
import { runningCircuit } from '../sample-running.js';
import type { UnsoundSpan } from './unit-normal.js';

const machine = machineOf({ refrigerant: 'R134a', condenser: 'water' });
const day_s = 86_400;
const start_s = 1_700_006_400;
/** Five days and six hours; for the last 22 h the condenser condenses 2 K higher. */
const windows = unpackPlateaus(
  packPlateaus(
    slicesOfWindows(
      runningCircuit(126, (series, i, hour) => {
        if (hour < 104) return;
        series.dischargePressure_Pa[i] = saturated(series.liquidTemperature_K[i]! + 7);
        series.liquidTemperature_K[i]! += 1.7;
      }),
    ).map(({ start_s: from, slice }) => plateausOfWindow(slice, 'R134a', from)),
  ),
);

const compare = (
  kept: KeptNormal,
  known: readonly WindowPlateaus[],
  { before = [] as Comparison['compared'], unsound = [] as UnsoundSpan[], from_s = 0 } = {},
) => bringUpToDate(machine, kept, { circuit: 1, windows: known, from_s, unsound, before });
const anew = compare(nothingLearned, windows);

/** As the store gives it back. */
const stored = ({ normal, compared }: Comparison) => ({
  normal: { ...normal, learned: normal.learned && readLearned(writeLearned(normal.learned)) },
  compared: unpackComparisons(packComparisons(compared)),
});

describe('a normal that is kept', () => {
  it('is learned once a day of steady running is there, and again at most once a day', () => {
    let kept = nothingLearned;
    let before: Comparison['compared'] = [];
    const learned: number[] = [];
    windows.forEach((_, k) => {
      const next = stored(compare(kept, windows.slice(0, k + 1), { before }));
      if (next.normal.generation > kept.generation) learned.push(k + 1);
      ({ normal: kept, compared: before } = next);
    });
    // 24 plateaus after two days. 60 % of 80 h are two days, which have the same 24; 60 % of 120 h are three, and the
    // first plateau begins some minutes after the record.
    expect(learned).toEqual([24, 61]);
    expect(kept).toMatchObject({ generation: 2, complete: false, seen: 36 });
  });

  it('gives the same, learned and compared window by window, as all of them at once', () => {
    let kept = nothingLearned;
    let before: Comparison['compared'] = [];
    let last: Comparison = anew;
    for (let k = 1; k <= windows.length; k++) {
      last = compare(kept, windows.slice(0, k), { before });
      ({ normal: kept, compared: before } = stored(last));
    }
    expect({ ...last.normal, generation: 0 }).toEqual({ ...anew.normal, generation: 0 });
    expect(last.departure).toEqual(anew.departure);
    expect(anew.departure!.condition).toBe('departs-from-normal');
    expect(stored(last).compared.map(({ distance, z }) => ({ distance, z }))).toEqual(
      stored(anew).compared.map(({ distance, z }) => ({ distance, z })),
    );
  });

  it('is not learned from a time that was found wrong later', () => {
    const wrong = { from_s: start_s, to_s: start_s + day_s };
    const { normal } = compare(anew.normal, windows, { unsound: [wrong] });
    expect(normal.generation).toBe(anew.normal.generation + 1);
    expect(normal.learned!.normal.from_s).toBeGreaterThanOrEqual(start_s + day_s);
    // All wrong: there is nothing left to compare with.
    const none = compare(anew.normal, windows, { unsound: [{ from_s: 0, to_s: Infinity }] });
    expect(none).toMatchObject({ normal: { learned: null, basis: null }, compared: [], departure: null });
  });

  it('keeps the stops of the time that it was learned from, and says where pressures meet faster since', () => {
    const learned = anew.normal.learned!.normal;
    /** A stop in every second window: before the end of learning 0.7 of the difference is left, then 0.2. */
    const withStops = windows.map((window, k) => {
      const at_s = window.start_s + 600;
      return { ...window, stops: k % 2 ? [] : [{ at_s, left: at_s <= learned.to_s ? 0.7 : 0.2 }] };
    });
    const found = compare(nothingLearned, withStops);
    expect(found.leak).toMatchObject({ condition: 'pressures-meet-fast', certainty: 'certain' });
    expect(anew.leak).toBeNull();
    // Once the usual ones lie further back than is looked, they are still known; stops that come late are taken in.
    const recent = withStops.slice(40);
    expect(compare(found.normal, recent, { from_s: recent[0]!.start_s }).leak).toEqual(found.leak);
    expect(compare(anew.normal, withStops).leak).toEqual(found.leak);
  });

  it('stays as it was once the time that it was learned from lies further back than is looked', () => {
    const recent = windows.slice(40);
    const from_s = recent[0]!.start_s;
    const later = compare(anew.normal, recent, { from_s });
    expect(later.normal).toBe(anew.normal);
    expect(later.departure!.condition).toBe('departs-from-normal');
    // However long the fault lasts, it is not taken for normal.
    expect(compare(anew.normal, recent, { from_s, unsound: [{ from_s: 0, to_s: Infinity }] }).normal).toBe(
      anew.normal,
    );
  });

  it('is read back to the last digit, and not where another version learned it', () => {
    const text = writeLearned(anew.normal.learned!);
    expect(readLearned(text)).toEqual(anew.normal.learned);
    expect(readLearned(text.replace(/"version":\d+/, '"version":1'))).toBeNull();
  });
});

describe('what a person is told of a normal', () => {
  it('is what it stands on, or what to wait for', () => {
    const text = (learned: boolean, complete: boolean) =>
      normalNote({ learned, complete, seen: 11, like: null }, 2).text;
    expect(text(true, true)).toMatch(/learned from \{seen\} plateaus of steady running\.$/);
    expect(text(true, false)).toMatch(/so far; more are taken in until two weeks are learned/);
    expect(text(false, false)).toMatch(/not compared with its own past yet.*Wait for more steady running/);
    const none = { learned: false, complete: false, seen: 11, like: null };
    expect(normalNote(none, 2).quantities.needed!.value).toBe(24);
  });

  it('names the like units that it is judged by until then, and says why nothing is learned while it departs from them', () => {
    const by = (departs: boolean) =>
      normalNote({ learned: false, complete: false, seen: 11, like: { units: 9, departs } }, 2);
    expect(by(false).text).toMatch(
      /compared with \{units\} like units .* until its own normal is learned: \{seen\} of/,
    );
    expect(by(false).quantities).toMatchObject({
      units: { value: 9 },
      seen: { value: 11 },
      needed: { value: 24 },
    });
    expect(by(true).text).toMatch(/departs from them, and is not learned from while it does/);
  });
});
