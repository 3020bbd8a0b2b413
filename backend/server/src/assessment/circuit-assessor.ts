import {
  withoutNotJudged,
  assessCircuit,
  assessSensors,
  conditionsNotJudged,
  judgeWindow,
  notJudgedOn,
  standardAtmospherePressure_Pa,
  sayingWhatIsNotJudged,
  type CircuitAssessment,
} from '@coldrounds/core';
import type { FindingKeeper } from '../findings/finding-keeper.js';
import { sensorSource } from '../findings/sensor-source.js';
import type { FleetCircuit, FleetUnit } from '../registry/fleet.js';
import type { DuePolicy, DueRepository } from '../storage/repositories/due.repository.js';
import type { ReadingRepository } from '../storage/repositories/reading.repository.js';
import type { JudgedWindow, WindowRepository } from '../storage/repositories/window.repository.js';
import { mainsLosses } from './mains-losses.js';
import { rollupOf } from './rollup.js';
import { sliceSeries, stretches, window_s } from './slices.js';

export interface CircuitAssessorOptions {
  policy: DuePolicy;
  /** Windows read and judged at once: a day. */
  batch: number;
  /** Days of windows that an assessment stands on. */
  memory_days: number;
  /** Least time between two assessments of one circuit, while history comes in and otherwise. */
  pauseLoading_s: number;
  pause_s: number;
  /** Hours of readings that the sensors are checked on, and how often. */
  sensors_hours: number;
  sensorsEvery_s: number;
}

export const defaultCircuitOptions: CircuitAssessorOptions = {
  policy: { settledHistory_s: 5, settled_s: 20, provisional_s: 300, abandoned_s: 30 },
  batch: 12,
  memory_days: 28,
  pauseLoading_s: 25,
  pause_s: 10,
  sensors_hours: 48,
  sensorsEvery_s: 3600,
};

export interface CircuitAssessorParts {
  due: DueRepository;
  windows: WindowRepository;
  readings: ReadingRepository;
  findings: FindingKeeper;
}

/** What a run leaves to be done, and when. */
export interface Remaining {
  /** Seconds until the circuit should be looked at again; null: not before telemetry comes. */
  again_s: number | null;
}

/** Judges a circuit's due windows and, not too often, what they amount to. */
export class CircuitAssessor {
  /** Circuits whose sensors were looked at since their history had come. */
  private readonly sensorsSettled = new Set<number>();

  constructor(
    private readonly parts: CircuitAssessorParts,
    private readonly options: CircuitAssessorOptions = defaultCircuitOptions,
    private readonly now_s: () => number = () => Date.now() / 1000,
  ) {}

  async run(unit: FleetUnit, circuit: FleetCircuit): Promise<Remaining> {
    const { due } = this.parts;
    const { policy, batch } = this.options;
    for (let round = 0; round < 8; round++) {
      const windows = await due.windows(circuit.id, policy, batch);
      if (windows.length === 0) break;
      await this.judge(
        unit,
        circuit,
        windows.map(({ start_s }) => start_s),
      );
      await due.settle(circuit.id, windows);
      if (windows.length < batch) break;
    }
    return this.assessWhenTime(unit, circuit);
  }

  private async judge(unit: FleetUnit, circuit: FleetCircuit, starts_s: number[]): Promise<void> {
    const { readings, windows } = this.parts;
    for (const stretch of stretches(starts_s)) {
      const from_s = stretch[0];
      const to_s = stretch[stretch.length - 1] + window_s;
      const series = await readings.circuitSeries(circuit.id, from_s, to_s);
      const powerLost = await mainsLosses(readings, unit, circuit.number, from_s, to_s);
      const now_s = this.now_s();
      const judged: JudgedWindow[] = stretch.map((start_s) => ({
        start_s,
        judgement: judgeWindow({
          series: sliceSeries(series, start_s, start_s + window_s),
          refrigerant: unit.refrigerant,
          circuit: circuit.entry,
          // The running window ends now, or what is yet to come would count as silence.
          window: { from_s: start_s, to_s: Math.min(start_s + window_s, Math.max(now_s, start_s + 1)) },
          powerLost,
        }),
      }));
      await windows.write(circuit.id, judged);
      const due = new Set(stretch);
      const all = rollupOf(series, unit.refrigerant);
      await windows.writeRollup(
        circuit.id,
        due.size * window_s === to_s - from_s ? all : keepWindows(all, due),
      );
    }
  }

  private async assessWhenTime(unit: FleetUnit, circuit: FleetCircuit): Promise<Remaining> {
    const { windows, due } = this.parts;
    const owed = await due.assessmentDue(circuit.id);
    if (owed === null) return { again_s: null };
    const before = (await windows.assessments([circuit.id])).get(circuit.id);
    const loading = await due.hasHistoryDue(circuit.id);
    const pause_s = loading ? this.options.pauseLoading_s : this.options.pause_s;
    const since_s = before === undefined ? Infinity : this.now_s() - before.judgedAt.getTime() / 1000;
    if (since_s < pause_s) return { again_s: Math.ceil(pause_s - since_s) };
    await this.assess(unit, circuit, !loading);
    // While history comes in, findings are provisional; once it has come, they must be looked at again.
    if (loading) return { again_s: pause_s };
    await due.settleAssessment(circuit.id, owed);
    return { again_s: null };
  }

  private async assess(unit: FleetUnit, circuit: FleetCircuit, settled: boolean): Promise<void> {
    const { windows, findings } = this.parts;
    const newest = await windows.newestStart_s(circuit.id);
    if (newest === null) return;
    const to_s = newest + window_s;
    const from_s = to_s - this.options.memory_days * 86_400;
    const judgements = async (id: number) =>
      (await windows.judgements(id, from_s, to_s)).map(({ detail }) => detail);
    const own = await judgements(circuit.id);
    const others = unit.circuits.filter(({ id }) => id !== circuit.id);
    // While history comes in, neighbours are read only where this circuit swings: then they say most.
    const hunts = own.some(({ oscillation }) => oscillation.oscillating === true);
    const neighbours = settled || hunts ? await Promise.all(others.map(({ id }) => judgements(id))) : [];
    const fleet = (await windows.fleetWear()).filter(({ circuitId }) => circuitId !== circuit.id);
    const { findings: found, ...assessment }: CircuitAssessment = assessCircuit({
      windows: own,
      refrigerant: unit.refrigerant,
      circuit: circuit.entry,
      neighbours,
      fleet: {
        travel_strokes_per_day: fleet.map(({ travel }) => travel),
        reversals_per_day: fleet.map(({ reversals }) => reversals),
      },
    });
    const dataUntil_s = assessment.to_s ?? to_s;
    const checkedUntil_s = await this.checkSensors(unit, circuit, settled);
    const verdicts = await findings.verdicts(unit.circuits.map(sensorSource));
    const notJudged = notJudgedOn(verdicts, circuit.number);
    // A steady floor or headroom of a superheat that is measured wrong is none.
    const claims = notJudged.superheatLevel ? { ...assessment, floor: null, headroom: null } : assessment;
    await windows.writeAssessment(circuit.id, claims, dataUntil_s);
    if (checkedUntil_s !== null) await windows.setSensorsUntil(circuit.id, checkedUntil_s);
    await findings.keep(unit.id, `circuit/${circuit.id}`, withoutNotJudged(found, notJudged), {
      settled,
      dataUntil_s,
      disproven: conditionsNotJudged(notJudged),
    });
  }

  /** Looks at the sensors where it is time to; returns to where their readings were looked at, or null. */
  private async checkSensors(
    unit: FleetUnit,
    circuit: FleetCircuit,
    settled: boolean,
  ): Promise<number | null> {
    const { readings, windows, findings } = this.parts;
    const newest_s = (await readings.newest_s([circuit.id])).get(circuit.id);
    if (newest_s === undefined) return null;
    const last_s = await windows.sensorsUntil_s(circuit.id);
    const every_s = settled ? this.options.sensorsEvery_s : 2 * 86_400;
    // What was seen while history came in may have lacked a standstill: once it has come, it is looked at again.
    const known = !settled || this.sensorsSettled.has(circuit.id);
    if (known && last_s !== null && newest_s - last_s < every_s) return null;
    const series = await readings.circuitSeries(
      circuit.id,
      newest_s - this.options.sensors_hours * 3600,
      newest_s + 1,
    );
    const { findings: found } = assessSensors({
      refrigerant: unit.refrigerant,
      circuit: circuit.entry,
      series,
      atmosphere_Pa: standardAtmospherePressure_Pa(unit.site.altitude_m),
    });
    await findings.keep(unit.id, sensorSource(circuit), sayingWhatIsNotJudged(found), {
      settled,
      dataUntil_s: newest_s,
    });
    if (settled) this.sensorsSettled.add(circuit.id);
    return newest_s;
  }
}

/** Leaves the points of windows that were read only because they lay between due ones. */
function keepWindows(rollup: ReturnType<typeof rollupOf>, starts: Set<number>): ReturnType<typeof rollupOf> {
  const keep = rollup.time_s.map((time_s) => starts.has(Math.floor(time_s / window_s) * window_s));
  const only = (values: number[]) => values.filter((_, index) => keep[index]);
  return {
    time_s: only(rollup.time_s),
    samples: only(rollup.samples),
    columns: Object.fromEntries(
      Object.entries(rollup.columns).map(([name, values]) => [name, only(values)]),
    ) as typeof rollup.columns,
  };
}
