import { saturationCurve, superheatUncertainty, type CircuitEntry } from '@coldrounds/core';
import { rollup_s } from '../../storage/schema/rollups.js';
import { mainsLosses } from '../../assessment/circuit/mains-losses.js';
import type { CircuitPath, ModulePath, Span, UnitPath } from '../../registry/paths.js';
import { column } from '../../storage/repositories/readings/float-arrays.js';
import type { ReadingRepository } from '../../storage/repositories/readings/reading.repository.js';
import type { Bins, SeriesRepository } from '../../storage/repositories/readings/series.repository.js';
import type { FleetService } from '../../registry/fleet.service.js';
import { attempt } from '../../registry/latest.js';

export interface SeriesParts {
  fleet: FleetService;
  series: SeriesRepository;
  readings: ReadingRepository;
}

/** Widths of a point that charts read well. */
const widths_s = [10, 20, 30, 60, 120, 240, 360, 600, 1200, 1800, 3600, 7200, 14_400, 21_600, 43_200, 86_400];

/** The narrowest width with which the span has at most about `points` points. */
export const binWidth_s = (span: Span, points: number): number =>
  widths_s.find((width) => (span.to_s - span.from_s) / width <= points) ?? widths_s[widths_s.length - 1];

/** Telemetry over a span: samples where it is short, rollups where it is long with samples for the newest stretch. */
export class SeriesService {
  constructor(private readonly parts: SeriesParts) {}

  async circuit(path: CircuitPath, span: Span, points: number) {
    const { fleet, readings } = this.parts;
    const { unit, circuit } = await fleet.circuit(path);
    const { bins, width_s, fromRollups } = await this.bins(circuit.id, span, binWidth_s(span, points));
    const losses = await mainsLosses(readings, unit, circuit.number, span.from_s, span.to_s);
    const dew = saturationCurve(unit.refrigerant, 'dew').temperature;
    const saturation = (pressures: Float64Array) =>
      pressures.map((pressure_Pa) => attempt(() => dew(pressure_Pa)) ?? NaN);
    return {
      from_s: span.from_s,
      to_s: span.to_s,
      resolution_s: width_s,
      source: fromRollups ? ('rollup' as const) : ('readings' as const),
      time_s: [...bins.time_s],
      superheat_K: column(bins.superheat),
      superheatMinimum_K: column(bins.superheatMinimum),
      superheatMaximum_K: column(bins.superheatMaximum),
      superheatUncertainty_K: column(uncertainties(unit.refrigerant, circuit.entry, bins)),
      superheatSetpoint_K: column(bins.setpoint),
      valveOpening_pct: column(bins.opening),
      valveOpeningMinimum_pct: column(bins.openingMinimum),
      valveOpeningMaximum_pct: column(bins.openingMaximum),
      suctionPressure_Pa: column(bins.suctionPressure),
      suctionTemperature_K: column(bins.suctionTemperature),
      suctionSaturationTemperature_K: column(saturation(bins.suctionPressure)),
      dischargePressure_Pa: column(bins.dischargePressure),
      dischargeTemperature_K: column(bins.dischargeTemperature),
      dischargeSaturationTemperature_K: column(saturation(bins.dischargePressure)),
      liquidTemperature_K: column(bins.liquidTemperature),
      subcooling_K: column(bins.subcooling),
      compressorLoad_pct: column(bins.load),
      floodbackLimit_K: circuit.entry.floodbackLimit_K,
      mainsLosses: losses,
    };
  }

  /** Samples where the span is short and has any, else rollups: they are kept longer. */
  private async bins(circuitId: number, span: Span, width_s: number) {
    if (width_s >= rollup_s)
      return { bins: await this.rolledUp(circuitId, span, width_s), width_s, fromRollups: true };
    const { series } = this.parts;
    const samples = await series.bins('readings', circuitId, span.from_s, span.to_s, width_s);
    if (samples.time_s.length > 0) return { bins: samples, width_s, fromRollups: false };
    const rollups = await series.bins('rollups', circuitId, span.from_s, span.to_s, rollup_s);
    return rollups.time_s.length > 0
      ? { bins: rollups, width_s: rollup_s, fromRollups: true }
      : { bins: samples, width_s, fromRollups: false };
  }

  private async rolledUp(circuitId: number, span: Span, width_s: number): Promise<Bins> {
    const { series } = this.parts;
    const newest_s = await series.rolledUpTo_s(circuitId);
    // The newest rollup may be of a window that is still running: from its bin on, the samples speak.
    const seam_s = newest_s === null ? span.from_s : Math.floor(newest_s / width_s) * width_s;
    const old =
      seam_s > span.from_s
        ? await series.bins('rollups', circuitId, span.from_s, Math.min(seam_s, span.to_s), width_s)
        : null;
    const tail =
      seam_s < span.to_s
        ? await series.bins('readings', circuitId, Math.max(seam_s, span.from_s), span.to_s, width_s)
        : null;
    if (old === null || tail === null) return (old ?? tail)!;
    return Object.fromEntries(
      Object.keys(old).map((name) => [name, Float64Array.from([...old[name], ...tail[name]])]),
    ) as unknown as Bins;
  }

  async water(path: UnitPath, span: Span, points: number) {
    const unit = await this.parts.fleet.unit(path);
    const width_s = Math.max(60, binWidth_s(span, points));
    const bins = await this.parts.series.bins('water', unit.id, span.from_s, span.to_s, width_s);
    return {
      from_s: span.from_s,
      to_s: span.to_s,
      resolution_s: width_s,
      time_s: [...bins.time_s],
      enteringTemperature_K: column(bins.entering),
      leavingTemperature_K: column(bins.leaving),
      flow_m3_s: column(bins.flow),
      ambientTemperature_K: column(bins.ambient),
    };
  }

  async backup(path: ModulePath, span: Span, points: number) {
    const { module } = await this.parts.fleet.module(path);
    const width_s = Math.max(60, binWidth_s(span, points));
    const bins = await this.parts.series.bins('backup', module.id, span.from_s, span.to_s, width_s);
    return {
      from_s: span.from_s,
      to_s: span.to_s,
      resolution_s: width_s,
      time_s: [...bins.time_s],
      voltage_V: column(bins.voltage),
      current_A: column(bins.current),
      temperature_K: column(bins.temperature),
      mains: column(bins.mains),
      health: column(bins.health),
    };
  }
}

function uncertainties(refrigerant: string, entry: CircuitEntry, bins: Bins): Float64Array {
  const tolerances = {
    pressureTolerance_Pa: entry.suctionPressure.tolerance,
    temperatureTolerance_K: entry.suctionTemperature.tolerance,
  };
  return bins.suctionPressure.map(
    (pressure_Pa, i) =>
      attempt(() => superheatUncertainty(refrigerant, pressure_Pa, bins.suctionTemperature[i], tolerances)) ??
      NaN,
  );
}
