import { describe, expect, it } from 'vitest';
import {
  assessModule,
  judgeClosing,
  type CircuitEntry,
  type ModuleAssessment,
  type ModuleReadings,
} from '@coldrounds/core';
import {
  atTemperature,
  createAgeing,
  deliverable_J,
  fullClosing,
  moduleModelOf,
  simulateModule,
  type ModuleCase,
  type SimulatedModule,
} from '@coldrounds/simulator';
import { seededRandom } from '../../../backend/core/src/numerics/index.js';
import { printedSeed } from '../../published/random-series.js';
import { circuit } from './backup-fleet.js';
import { fractionInLimits } from './fraction-in-limits.js';

const day_s = 86_400;
const days = 400;
const farthest_years = 20;
const fastModules = 220;

interface Case {
  made: SimulatedModule;
  assessment: ModuleAssessment;
  now_s: number;
  /** When the true reserve from fully open, at the coldest temperature that telemetry showed, falls under a limit; Infinity: not within 20 years. */
  trueDate_s(limit: number): number;
  /** True reserve at that temperature at a time. */
  trueReserve(time_s: number): number;
}

const circuitsOf = (made: SimulatedModule): CircuitEntry[] =>
  made.valves.map((valve, i) => ({
    ...circuit,
    number: made.entry.circuits[i],
    valve: { ...circuit.valve, ...valve, motors: valve.motors as 1 | 2 },
  }));

function readingsOf({ backup }: SimulatedModule): ModuleReadings {
  const column = (of: (row: (typeof backup)[number]) => number) => Float64Array.from(backup, of);
  return {
    time_s: column((row) => row.time_s),
    voltage_V: column((row) => row.reading.voltage_V),
    current_A: column((row) => row.reading.current_A),
    temperature_K: column((row) => row.reading.temperature_K),
    mains: column((row) => row.reading.mains),
    health: column((row) => row.reading.health),
  };
}

/** Simulates a module, judges its raw closings and assesses it, after all tests or after the first `tests`. */
function run(input: ModuleCase, tests?: number): Case {
  const model = moduleModelOf({ ...input, days });
  const made = simulateModule({ ...input, days, backupDays: tests === undefined ? 0.5 : 0 });
  const closings = tests === undefined ? made.closings : made.closings.slice(0, tests);
  const circuits = circuitsOf(made);
  const now_s = tests === undefined ? model.now_s : closings[closings.length - 1].started_s + 3600;
  const readings = readingsOf(made);
  const assessment = assessModule({
    module: made.entry,
    circuits,
    closings: closings.map((trace) =>
      judgeClosing({
        trace,
        module: made.entry,
        circuits,
        temperature_K: trace.temperature_K,
        startedAt_s: trace.started_s,
        mains: 1,
      }),
    ),
    readings,
    now_s,
  });
  const coldest_K = closings.reduce((low, each) => Math.min(low, each.temperature_K), Infinity);
  const cellAt = createAgeing(model);
  const { energy_J, power_W } = fullClosing(model);
  const trueReserve = (time_s: number) =>
    deliverable_J(
      atTemperature(cellAt(time_s), coldest_K),
      made.entry.ratedVoltage_V,
      made.entry.minimumVoltage_V,
      power_W,
    ) / energy_J;
  return {
    made,
    assessment,
    now_s,
    trueReserve,
    trueDate_s: (limit) => {
      // Reserve only falls: halve the span.
      let low = model.start_s;
      let high = model.now_s + farthest_years * 365.25 * day_s;
      if (trueReserve(high) > limit) return Infinity;
      while (high - low > day_s) {
        const middle = (low + high) / 2;
        if (trueReserve(middle) > limit) low = middle;
        else high = middle;
      }
      return high;
    },
  };
}

/** A make of module: how much reserve it has when new, how warm it is, how its capacitance falls, how much its tests scatter. */
function make(random: () => number, seed: number): ModuleCase {
  const between = (a: number, b: number) => a + (b - a) * random();
  return {
    seed,
    entry: { ratedCapacitance_F: between(0.75, 1.1) },
    life_years: between(10, 18),
    fade: random() < 0.75 ? 'straight' : 'by-share',
    testScatter: between(0.006, 0.02),
    missingFraction: between(0, 0.15),
    temperature: { mean_K: between(294, 306), yearSwing_K: between(3, 10), daySwing_K: between(1, 4) },
  };
}

const seed = printedSeed('backup modules of the simulator');
const failing = ['cannot-close', 'reserve-fading', 'sudden-loss'];
const conditionsOf = ({ findings }: ModuleAssessment) => findings.map((finding) => finding.condition);

describe(`200 modules of the simulator over 400 days, from their raw closings on (seed ${seed})`, () => {
  const random = seededRandom(seed);
  const cases = Array.from({ length: 200 }, (_, i) => {
    const own = make(random, seed + i);
    const between = (a: number, b: number) => a + (b - a) * random();
    if (i % 20 === 0) {
      const share = between(0.15, 0.4);
      const sinceDaysAgo = Math.floor(between(5, days - 35));
      return {
        kind: 'sudden',
        input: { ...own, faults: [{ kind: 'sudden-loss' as const, share, sinceDaysAgo }] },
      };
    }
    if (i % 10 === 5)
      return {
        kind: 'fast',
        input: { ...own, faults: [{ kind: 'ageing-fast' as const, life_years: between(1, 3) }] },
      };
    return { kind: 'healthy', input: own };
  });
  const assessed = cases.map(({ kind, input }) => ({ kind, input, ...run(input) }));

  it('calls no module failing whose reserve stays over 1.5 for more than two years', () => {
    let healthy = 0;
    for (const { kind, input, assessment, trueDate_s, now_s } of assessed) {
      if (kind === 'sudden' || trueDate_s(1.5) - now_s < 730 * day_s) continue;
      healthy++;
      const said = conditionsOf(assessment).filter((each) => failing.includes(each));
      expect(said, `module of seed ${input.seed}`).toEqual([]);
    }
    expect(healthy).toBeGreaterThan(150);
  });

  it('finds nothing at all on a healthy module', () => {
    for (const { kind, input, assessment } of assessed) {
      if (kind !== 'healthy') continue;
      expect(conditionsOf(assessment), `module of seed ${input.seed}`).toEqual([]);
    }
  });

  it('finds every sudden loss at the next test', () => {
    for (const { kind, input, made } of assessed) {
      if (kind !== 'sudden') continue;
      const fault = input.faults![0];
      const lost_s = moduleModelOf({ ...input, days }).now_s - fault.sinceDaysAgo! * day_s;
      const next = made.closings.findIndex((closing) => closing.started_s >= lost_s);
      const then = run(input, next + 1);
      expect(conditionsOf(then.assessment), `module of seed ${input.seed}`).toContain('sudden-loss');
      expect(then.assessment.suddenChange!.at_s).toBe(made.closings[next].started_s);
    }
  });

  it('has the true reserve of now inside P10 to P90 in at least 75 % of cases, within 1 % of it in the median', () => {
    let inside = 0;
    const off: number[] = [];
    const width: number[] = [];
    for (const { assessment, trueReserve, now_s } of assessed) {
      if (assessment.reserve.state !== 'known') throw new Error('reserve unknown');
      const cold = assessment.reserve.cases.find((each) => each.situation === 'fully-open-coldest')!;
      const truth = trueReserve(now_s);
      if (truth >= cold.interval.p10 && truth <= cold.interval.p90) inside++;
      off.push(Math.abs(cold.reserve / truth - 1));
      width.push((cold.interval.p90 - cold.interval.p10) / cold.reserve);
    }
    const middle = (values: number[]) => values.sort((a, b) => a - b)[values.length >> 1];
    console.log(
      `seed ${seed}: reserve of now ${((100 * inside) / assessed.length).toFixed(1)} % inside P10 to P90, ` +
        `${(100 * middle(off)).toFixed(2)} % off in the median, ${(100 * middle(width)).toFixed(2)} % wide`,
    );
    expect(inside / assessed.length).toBeGreaterThanOrEqual(0.75);
    // An interval wide enough to hold anything would say nothing.
    expect(middle(width)).toBeLessThan(0.03);
    expect(middle(off)).toBeLessThan(0.01);
  });
});

describe('a fast-ageing module over two years from 1.5 whose temperature law is learned 2.5 uncertainties off', () => {
  it('is not called failing, and has its date under 1.5 between P10 and P90', () => {
    const { assessment, trueDate_s, now_s } = run({
      seed: 2050984510,
      entry: { ratedCapacitance_F: 0.7958593384479172 },
      life_years: 14.677979357540607,
      testScatter: 0.011514795053284616,
      missingFraction: 0.02098359139636159,
      temperature: {
        mean_K: 304.22001810371876,
        yearSwing_K: 9.686084576882422,
        daySwing_K: 3.7161373195704073,
      },
      faults: [{ kind: 'ageing-fast', life_years: 1.8893564469181001 }],
    });
    expect(trueDate_s(1.5) - now_s).toBeGreaterThan(730 * day_s);
    expect(conditionsOf(assessment).filter((each) => failing.includes(each))).toEqual([]);
    const { forecast } = assessment;
    const date = forecast.state === 'forecast' ? forecast.limits[0].date_s! : { p10: NaN, p90: NaN };
    expect(trueDate_s(1.5)).toBeGreaterThan(date.p10);
    expect(trueDate_s(1.5)).toBeLessThan(date.p90);
  });
});

describe(`dates under 1.5 of ${fastModules} fast-ageing modules of the simulator, two in five of them sound until 4 to 12 months ago (seed ${seed})`, () => {
  it('lie inside the P10 to P90 range in 75 to 90 % of cases', () => {
    const random = seededRandom(seed ^ 0x2545f491);
    const between = (a: number, b: number) => a + (b - a) * random();
    let early = 0;
    let late = 0;
    const draw = (firstSeed: number) =>
      Array.from({ length: fastModules }, (_, i) => {
        // Little to spare when new, so that the date comes within years and not decades.
        const own = { ...make(random, firstSeed + i), entry: { ratedCapacitance_F: between(0.52, 0.68) } };
        const life_years = between(1, 2.8);
        const { assessment, trueDate_s } = run(
          i % 5 < 2
            ? { ...own, faults: [{ kind: 'ageing-fast', life_years, sinceDaysAgo: between(120, days - 20) }] }
            : { ...own, life_years },
        );
        const { forecast } = assessment;
        const date = forecast.state === 'forecast' ? forecast.limits[0].date_s : null;
        if (!date) return null;
        const truth = trueDate_s(1.5);
        if (truth < date.p10) early++;
        else if (truth > date.p90) late++;
        return truth >= date.p10 && truth <= date.p90;
      });
    const { fraction, counted } = fractionInLimits(
      () => draw(seed + 1000),
      () => draw(seed + 2000),
      [0.75, 0.9],
    );
    console.log(
      `seed ${seed}: ${counted} dated, ${(100 * fraction).toFixed(1)} % inside P10 to P90, ${early} before it, ${late} after it`,
    );
    expect(counted).toBeGreaterThan(0.7 * fastModules);
    expect(fraction).toBeGreaterThanOrEqual(0.75);
    expect(fraction).toBeLessThanOrEqual(0.9);
  });
});
