import { judgeClosing, type ClosingJudgement } from '@coldrounds/core';
import type { FleetModule, FleetUnit } from '../../registry/fleet.js';
import type { StoredClosing } from '../../storage/repositories/results/module.repository.js';

/** Judges a closing as it is stored, with the module and all circuits of its unit as the registry has them now. */
export const judgeStoredClosing = (
  unit: FleetUnit,
  module: FleetModule,
  closing: StoredClosing,
): ClosingJudgement =>
  judgeClosing({
    ...closing,
    module: module.entry,
    circuits: unit.circuits.map(({ entry }) => entry),
  });
