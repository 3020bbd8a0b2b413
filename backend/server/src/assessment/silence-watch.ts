import type { Finding } from '@coldrounds/core';
import type { FindingKeeper } from '../findings/finding-keeper.js';
import { missingTelemetry } from '../findings/missing-telemetry.js';
import { silenceFinding } from '../findings/silence.js';
import type { FleetUnit } from '../storage/fleet.js';
import type { LastHeard, SilenceRepository } from '../storage/assessment/silence.repository.js';
import type { FleetParts } from './fleet-parts.js';

export interface SilenceWatchParts {
  fleet: FleetParts;
  silence: SilenceRepository;
  findings: FindingKeeper;
}

/** After its own start the program has heard nothing from anyone: it listens for a while before it calls a unit silent. */
const grace_s = 600;

/** A unit that was registered later than this and never heard is waited for: it is shown as never heard. */
const patience_s = 86_400;

/**
 * Looks for units that send nothing, and for what has not come for over a day of those that do. A unit whose gateway is sending history is not silent, whatever the age of its
 * newest reading; that says nothing of any other unit.
 */
export class SilenceWatch {
  private readonly startedAt_s: number;

  constructor(
    private readonly parts: SilenceWatchParts,
    private readonly now_s: () => number = () => Date.now() / 1000,
  ) {
    this.startedAt_s = now_s();
  }

  async look(): Promise<void> {
    const { fleet, silence, findings } = this.parts;
    const now_s = this.now_s();
    if (now_s - this.startedAt_s < grace_s) return;
    const { units } = await fleet.load();
    const heard = await silence.lastHeard();
    const sending = await silence.sendingHistory(grace_s);
    await findings.keepAll(
      units
        .filter(({ id }) => heard.has(id) && !sending.has(id) && !isAwaited(heard.get(id)!, now_s))
        .map((unit) => ({
          unitId: unit.id,
          source: `silence/${unit.id}`,
          found: missingOf(unit, heard.get(unit.id)!, now_s),
          // Telemetry that comes again ends the finding at once: there is no edge on which it could flap.
          context: { settled: false, dataUntil_s: now_s },
        })),
    );
  }
}

/** What does not come of a unit: all of it, or else what has been missing for over a day. */
function missingOf(unit: FleetUnit, heard: LastHeard, now_s: number): Finding[] {
  const { newestReading_s, online, onlineSince_s, interval_s } = heard;
  const silence = silenceFinding(
    {
      ...{ newestReading_s, online, onlineSince_s, interval_s },
      circuits: unit.circuits.length,
      reporting: unit.reporting,
    },
    now_s,
  );
  return silence === null ? missingTelemetry(heard, now_s) : [silence];
}

const isAwaited = ({ newestReading_s, addedAt_s }: LastHeard, now_s: number): boolean =>
  newestReading_s === null && addedAt_s !== null && now_s - addedAt_s < patience_s;
