import type { FindingKeeper } from '../findings/finding-keeper.js';
import type { FleetService } from '../registry/fleet.service.js';
import type { ReadingRepository } from '../storage/repositories/reading.repository.js';
import { silenceFinding } from '../findings/silence.js';

export interface SilenceWatchParts {
  fleet: FleetService;
  readings: ReadingRepository;
  findings: FindingKeeper;
  /** Whether history is still coming in: then old readings are no sign of silence. */
  isLoading: () => Promise<boolean>;
}

/** After its own start the program has heard nothing from anyone: it listens for a while before it calls a unit silent. */
const grace_s = 600;

/** Looks every minute for units that send nothing. */
export class SilenceWatch {
  private readonly startedAt_s: number;

  constructor(
    private readonly parts: SilenceWatchParts,
    private readonly now_s: () => number = () => Date.now() / 1000,
  ) {
    this.startedAt_s = now_s();
  }

  async look(): Promise<void> {
    const { fleet, readings, findings, isLoading } = this.parts;
    const now_s = this.now_s();
    if (now_s - this.startedAt_s < grace_s || (await isLoading())) return;
    const { units } = await fleet.fleet();
    const newest = await readings.newest_s(units.flatMap(({ circuits }) => circuits.map(({ id }) => id)));
    for (const unit of units) {
      const times = unit.circuits.flatMap(({ id }) => newest.get(id) ?? []);
      const finding = silenceFinding(
        {
          newestReading_s: times.length === 0 ? null : Math.max(...times),
          online: unit.online,
          onlineSince_s: unit.onlineSince === null ? null : unit.onlineSince.getTime() / 1000,
          circuits: unit.circuits.length,
        },
        now_s,
      );
      // Telemetry that comes again ends the finding at once: there is no edge on which it could flap.
      await findings.keep(unit.id, `silence/${unit.id}`, finding === null ? [] : [finding], {
        settled: false,
        dataUntil_s: now_s,
      });
    }
  }
}
