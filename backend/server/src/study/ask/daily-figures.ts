import {
  blockDays,
  blockOf,
  dailyQuantities,
  DailySums,
  type DailyQuantity,
  type DayColumn,
  type SpanDays,
} from '@coldrounds/core';
import type { FigureBlock } from '../../storage/repositories/results/daily-figures.repository.js';
import type { OperatingRange } from './question.js';
import type { FigurePieces } from '../figures/kept-figures.js';
import { pause } from '../thread/while-asked.js';
import { affected, type Affected, type WrongSpans } from './wrong-days.js';

const day_s = 86_400;

export interface DailyAsked {
  circuitIds: readonly number[];
  quantities: readonly DailyQuantity[];
  ranges: readonly OperatingRange[];
  periods: readonly [number, number][];
  wrong: WrongSpans;
}

/** Figures of one quantity by period and circuit, as they were asked for: worked out when they are looked at; NaN: too little to say. */
export type FigureAt = (period: number, circuit: number) => number;

export interface DailyFound {
  figures: ReadonlyMap<DailyQuantity, FigureAt>;
  /** Days of running, and circuits with such, left out of the first of the figures because a sensor was found wrong. */
  leftOut: { circuits: number; days: number };
}

/** More circuits than this are read together with all others: a list of them would cost more than it spares. */
export const mostNamed = 3000;

/** Figures of circuits over periods, from the days that lie in the operating range and on which no sensor was wrong. */
export async function dailyFigures(figures: FigurePieces, asked: DailyAsked): Promise<DailyFound> {
  const { circuitIds, quantities, ranges, periods } = asked;
  const place = new Map(circuitIds.map((id, index) => [id, index]));
  const spans = spansOf(periods);
  const sums = quantities.map((name) => ({
    affected: affected(name),
    days: new DailySums(name, circuitIds.length, spans.count),
  }));
  const columns = [
    ...new Set<DayColumn>([
      ...quantities.flatMap((name) => dailyQuantities[name].columns),
      ...ranges.map(({ name }) => name),
      'runningMinutes',
    ]),
  ];
  let ids: Int32Array = new Int32Array(0);
  let circuits: Int32Array = ids;
  const leftDays = new Set<number>();
  let days = 0;
  const [first_s, last_s] = endsOf(periods);
  const only = circuitIds.length <= mostNamed ? circuitIds : null;
  for (let from_s = blockOf(first_s); from_s < last_s; from_s += blockDays * day_s) {
    await pause();
    const spanDays = spans.within(from_s);
    for await (const block of figures.pieces(from_s, columns, only)) {
      // Pieces of the same circuits have the same list of them.
      if (block.circuitIds !== ids) {
        ids = block.circuitIds;
        circuits = ids.map((id) => place.get(id) ?? -1);
      }
      const keep = keptDays(block, ranges);
      const kept = new Map<Affected | null, Uint8Array | null>([[null, keep]]);
      for (const kind of new Set(sums.flatMap((each) => each.affected ?? []))) {
        const left = withoutWrong(block, keep, kind, circuits, asked);
        kept.set(kind, left.mask);
        // Of several figures, what is said is of the first.
        if (kind !== sums[0]!.affected) continue;
        days += left.days;
        for (const id of left.circuits) leftDays.add(id);
      }
      for (const each of sums) each.days.add(block, circuits, spanDays, kept.get(each.affected)!);
    }
  }
  return {
    figures: new Map(
      quantities.map((name, index): [DailyQuantity, FigureAt] => [
        name,
        (period, circuit) => sums[index]!.days.figure(circuit, ...spans.ofPeriod[period]!),
      ]),
    ),
    leftOut: { circuits: leftDays.size, days },
  };
}

/**
 * Spans between all beginnings and ends of periods: each period is some that follow each other, and a day is added up once,
 * in however many periods it lies.
 */
function spansOf(periods: readonly [number, number][]) {
  const ends = [...new Set(periods.flat())].sort((a, b) => a - b);
  const place = new Map(ends.map((end_s, index) => [end_s, index]));
  const count = Math.max(0, ends.length - 1);
  return {
    count,
    ofPeriod: periods.map(([from_s, to_s]): [number, number] => [place.get(from_s)!, place.get(to_s)!]),
    /** Spans that have days in the four weeks from a moment on. */
    within: (from_s: number): SpanDays[] =>
      Array.from({ length: count }, (_, span) => ({
        span,
        from: Math.max(0, Math.round((ends[span]! - from_s) / day_s)),
        to: Math.min(blockDays, Math.round((ends[span + 1]! - from_s) / day_s)),
      })).filter(({ from, to }) => from < to),
  };
}

/** First and last moment of periods in any order. */
export const endsOf = (periods: readonly [number, number][]): [number, number] => [
  Math.min(...periods.map(([from_s]) => from_s)),
  Math.max(...periods.map(([, to_s]) => to_s)),
];

/** 1 where a day lies in every operating range; null: all do. */
function keptDays(block: FigureBlock, ranges: readonly OperatingRange[]): Uint8Array | null {
  if (ranges.length === 0) return null;
  const keep = new Uint8Array(block.circuitIds.length * block.days).fill(1);
  for (const { name, from, to } of ranges) {
    const values = block.columns[name]!;
    for (let day = 0; day < keep.length; day++)
      if (!(values[day]! >= from && values[day]! <= to)) keep[day] = 0;
  }
  return keep;
}

/** The same without the days on which a sensor was found wrong; counts those with running that go. */
function withoutWrong(
  block: FigureBlock,
  keep: Uint8Array | null,
  kind: Affected,
  circuits: Int32Array,
  { wrong, periods }: DailyAsked,
): { days: number; circuits: number[]; mask: Uint8Array | null } {
  const running = block.columns.runningMinutes!;
  const [first_s, last_s] = endsOf(periods);
  const found: number[] = [];
  let mask = keep;
  let days = 0;
  block.circuitIds.forEach((id, row) => {
    const before = days;
    for (const span of circuits[row] === -1 ? [] : (wrong.get(id) ?? [])) {
      if (span.affected !== kind) continue;
      const from = Math.max(0, Math.floor((Math.max(span.from_s, first_s) - block.from_s) / day_s));
      const to = Math.min(block.days, Math.ceil((Math.min(span.to_s, last_s) - block.from_s) / day_s));
      if (from < to && mask === keep)
        mask = keep?.slice() ?? new Uint8Array(block.circuitIds.length * block.days).fill(1);
      for (let day = row * block.days + from; day < row * block.days + to; day++) {
        if (mask![day] === 1 && running[day]! > 0) days++;
        mask![day] = 0;
      }
    }
    if (days > before) found.push(id);
  });
  return { days, circuits: found, mask };
}
