import { superheatSeries } from '@coldrounds/core';
import type { UnitPath } from '../../registry/paths.js';
import { column } from '../../storage/repositories/readings/float-arrays.js';
import type { ModuleRepository } from '../../storage/repositories/results/module.repository.js';
import type { ReadingRepository } from '../../storage/repositories/readings/reading.repository.js';
import { NotKnownError, type FleetService } from '../../registry/fleet.service.js';

export interface PowerLossParts {
  fleet: FleetService;
  modules: ModuleRepository;
  readings: ReadingRepository;
}

const before_s = 600;
const after_s = 1800;
/** Of the running after a restart; its first ten minutes are what a review judges. */
const afterRestart_s = 900;
/** A loss is named by the second in which it began; a reader may have rounded it. */
const nameTolerance_s = 1.5;

/** Losses of mains as reviewed, and each on a time axis. */
export class PowerLossService {
  constructor(private readonly parts: PowerLossParts) {}

  async list(path: UnitPath) {
    const unit = await this.parts.fleet.unit(path);
    return { powerLosses: await this.parts.modules.reviews(unit.modules.map(({ id }) => id)) };
  }

  async replay(path: UnitPath, startedAt_s: number) {
    const { fleet, modules, readings } = this.parts;
    const unit = await fleet.unit(path);
    const reviews = await modules.reviews(unit.modules.map(({ id }) => id));
    const review = reviews.find(({ from_s }) => Math.abs(from_s - startedAt_s) < nameTolerance_s);
    const module = unit.modules.find(({ number }) => number === review?.module);
    if (review === undefined || module === undefined)
      throw new NotKnownError('No loss of mains with a review started at that time.');
    const from_s = review.from_s - before_s;
    // A circuit may stand still for long after the mains are back: its restart is shown too.
    const restarts = review.circuits.map(({ restartAt_s }) => (restartAt_s ?? 0) + afterRestart_s);
    const to_s = Math.max((review.to_s ?? review.from_s + 3600 - after_s) + after_s, ...restarts);
    const backup = await readings.moduleReadings(module.id, from_s, to_s);
    const closing = await modules.closingWithin(module.id, review.from_s - 180, (review.to_s ?? to_s) + 180);
    const served = unit.circuits.filter(({ number }) => module.entry.circuits.includes(number));
    return {
      powerLoss: review,
      closing:
        closing === null
          ? null
          : {
              time_s: Array.from(closing.trace.time_s, (time) => closing.startedAt_s + time),
              voltage_V: column(closing.trace.voltage_V as Float64Array),
              current_A: column(closing.trace.current_A as Float64Array),
              valveOpening_pct: column(closing.trace.valveOpening_pct as Float64Array),
            },
      circuits: await Promise.all(
        served.map(async ({ id, number, entry }) => {
          const series = await readings.circuitSeries(id, from_s, to_s);
          return {
            circuit: number,
            time_s: [...series.time_s],
            superheat_K: column(superheatSeries(unit.refrigerant, series)),
            valveOpening_pct: column(series.valveOpening_pct),
            suctionPressure_Pa: column(series.suctionPressure_Pa),
            dischargePressure_Pa: column(series.dischargePressure_Pa),
            compressorLoad_pct: column(series.compressorLoad_pct),
            floodbackLimit_K: entry.floodbackLimit_K,
          };
        }),
      ),
      backup: {
        time_s: [...backup.time_s],
        voltage_V: column(backup.voltage_V),
        mains: column(backup.mains),
      },
    };
  }
}
