import {
  blockDays,
  blockOf,
  dailyQuantities,
  DailySums,
  type DailyQuantity,
  type DayColumn,
} from '@coldrounds/core';
import type {
  DailyFiguresRepository,
  FigureBlock,
} from '../../storage/repositories/results/daily-figures.repository.js';
import type { OperatingRange } from './question.js';
import { affected, type Affected, type WrongSpans } from './wrong-days.js';

const day_s = 86_400;

export interface DailyAsked {
  circuitIds: readonly number[];
  quantities: readonly DailyQuantity[];
  ranges: readonly OperatingRange[];
  periods: readonly [number, number][];
  wrong: WrongSpans;
}

export interface DailyFound {
  /** By quantity, period and circuit, the last as they were asked for. */
  figures: ReadonlyMap<DailyQuantity, (number | null)[][]>;
  /** Days of running, and circuits with such, left out of the first of the figures because a sensor was found wrong. */
  leftOut: { circuits: number; days: number };
}

/** More circuits than this are read together with all others: a list of them would cost more than it spares. */
export const mostNamed = 3000;

/** Figures of circuits over periods, from the days that lie in the operating range and on which no sensor was wrong. */
export async function dailyFigures(
  repository: DailyFiguresRepository,
  asked: DailyAsked,
): Promise<DailyFound> {
  const { circuitIds, quantities, ranges, periods } = asked;
  const place = new Map(circuitIds.map((id, index) => [id, index]));
  const sums = quantities.map((name) => ({
    affected: affected(name),
    byPeriod: periods.map(() => new DailySums(name, circuitIds.length)),
  }));
  const columns = [
    ...new Set<DayColumn>([
      ...quantities.flatMap((name) => dailyQuantities[name].columns),
      ...ranges.map(({ name }) => name),
      'runningMinutes',
    ]),
  ];
  const leftDays = new Set<number>();
  let days = 0;
  const [first_s, last_s] = endsOf(periods);
  const only = circuitIds.length <= mostNamed ? circuitIds : null;
  for (let from_s = blockOf(first_s); from_s < last_s; from_s += blockDays * day_s) {
    const block = await repository.block(from_s, columns, only);
    const keep = keptDays(block, ranges);
    const kept = new Map<Affected | null, Uint8Array | null>([[null, keep]]);
    for (const kind of new Set(sums.flatMap((each) => each.affected ?? []))) {
      const left = withoutWrong(block, keep, kind, place, asked);
      kept.set(kind, left.mask);
      // Of several figures, what is said is of the first.
      if (kind !== sums[0]!.affected) continue;
      days += left.days;
      for (const id of left.circuits) leftDays.add(id);
    }
    const spans = spansIn(from_s, periods);
    block.circuitIds.forEach((id, row) => {
      const circuit = place.get(id);
      if (circuit === undefined) return;
      for (const { period, days: own } of spans)
        for (const each of sums)
          each.byPeriod[period]!.add(circuit, block, row, own, kept.get(each.affected)!);
    });
  }
  return {
    figures: new Map(
      quantities.map((name, index) => [
        name,
        sums[index]!.byPeriod.map((period) => circuitIds.map((_, circuit) => period.figure(circuit))),
      ]),
    ),
    leftOut: { circuits: leftDays.size, days },
  };
}

/** The periods that have days in a block, with the first of these days and the one after the last. */
function spansIn(from_s: number, periods: readonly [number, number][]) {
  return periods.flatMap(([start_s, end_s], period) => {
    const from = Math.max(0, Math.round((start_s - from_s) / day_s));
    const to = Math.min(blockDays, Math.round((end_s - from_s) / day_s));
    return from < to ? [{ period, days: [from, to] as const }] : [];
  });
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
  place: ReadonlyMap<number, number>,
  { wrong, periods }: DailyAsked,
): { days: number; circuits: number[]; mask: Uint8Array | null } {
  if (wrong.size === 0) return { days: 0, circuits: [], mask: keep };
  const mask = keep?.slice() ?? new Uint8Array(block.circuitIds.length * block.days).fill(1);
  const running = block.columns.runningMinutes!;
  const [first_s, last_s] = endsOf(periods);
  const circuits: number[] = [];
  let days = 0;
  block.circuitIds.forEach((id, row) => {
    const before = days;
    for (const span of place.has(id) ? (wrong.get(id) ?? []) : []) {
      if (span.affected !== kind) continue;
      const from = Math.max(0, Math.floor((Math.max(span.from_s, first_s) - block.from_s) / day_s));
      const to = Math.min(block.days, Math.ceil((Math.min(span.to_s, last_s) - block.from_s) / day_s));
      for (let day = row * block.days + from; day < row * block.days + to; day++) {
        if (mask[day] === 1 && running[day]! > 0) days++;
        mask[day] = 0;
      }
    }
    if (days > before) circuits.push(id);
  });
  return { days, circuits, mask };
}
