import { hunts, judgeWindow, windowPicture, window_s } from '@coldrounds/core';
import { mainsLosses } from '../../assessment/circuit/mains-losses.js';
import type { CircuitPath, Span } from '../../registry/paths.js';
import { column } from '../../storage/repositories/readings/float-arrays.js';
import type { ReadingRepository } from '../../storage/repositories/readings/reading.repository.js';
import type { WindowRepository } from '../../storage/repositories/results/window.repository.js';
import { NotKnownError, type FleetService } from '../../registry/fleet.service.js';

export interface WindowParts {
  fleet: FleetService;
  windows: WindowRepository;
  readings: ReadingRepository;
}

/** Judged windows as rows, and one window with its pictures. */
export class WindowService {
  constructor(
    private readonly parts: WindowParts,
    private readonly now_s: () => number = () => Date.now() / 1000,
  ) {}

  async list(path: CircuitPath, span: Span) {
    const { circuit } = await this.parts.fleet.circuit(path);
    const rows = await this.parts.windows.judgements(circuit.id, span.from_s, span.to_s);
    return {
      windows: rows.map(({ start_s, judgedAt, detail }) => ({
        start_s,
        end_s: start_s + window_s,
        judgedAt: judgedAt.toISOString(),
        samples: detail.sampleCount,
        steadyMinutes: detail.minutes.steady,
        minutes: detail.minutes,
        superheatMean_K: detail.superheat?.mean_K ?? null,
        superheatSpread_K: detail.superheat?.spread_K ?? null,
        floodbackFraction: detail.superheat?.underLimitFraction ?? null,
        oscillating: detail.oscillation.oscillating,
        hunts: detail.oscillation.oscillating === null ? null : hunts(detail),
        period_s: detail.oscillation.period_s,
        amplitude_K: detail.oscillation.amplitude,
        valveTravel_strokes: detail.valve?.travel_strokes ?? null,
        valveReversals: detail.valve?.reversals ?? null,
      })),
    };
  }

  /** Computed from the readings on request, so that it shows what is stored now. */
  async picture(path: CircuitPath, start_s: number) {
    const { fleet, windows, readings } = this.parts;
    const { unit, circuit } = await fleet.circuit(path);
    const from_s = Math.floor(start_s / window_s) * window_s;
    const to_s = from_s + window_s;
    const series = await readings.circuitSeries(circuit.id, from_s, to_s);
    if (series.time_s.length === 0) throw new NotKnownError('There are no readings in this window.');
    const [stored] = await windows.judgements(circuit.id, from_s, from_s + 1);
    const window = { from_s, to_s: Math.min(to_s, Math.max(this.now_s(), from_s + 1)) };
    const powerLost = await mainsLosses(readings, unit, circuit.number, from_s, to_s);
    const learned = (await windows.learnedHabits([circuit.id])).get(circuit.id) ?? null;
    const input = {
      series,
      refrigerant: unit.refrigerant,
      unit: { ...unit, learned },
      circuit: circuit.entry,
      window,
      powerLost,
    };
    const picture = windowPicture(input);
    return {
      start_s: from_s,
      end_s: to_s,
      judgedAt: stored?.judgedAt.toISOString() ?? null,
      judgement: judgeWindow(input),
      readings: picture.readings,
      trace: { ...picture.trace, superheatSetpoint_K: column(series.superheatSetpoint_K) },
      floodbackLimit_K: circuit.entry.floodbackLimit_K,
      cycles: picture.cycles,
      autocorrelation: picture.autocorrelation,
      spectrum: picture.spectrum,
      loop: picture.loop,
    };
  }
}
