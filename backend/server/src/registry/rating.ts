import type { ModuleEntry } from '@coldrounds/core';

/** Backup modules of the same rating are compared with each other. */
export const ratingOf = ({ ratedCapacitance_F, ratedVoltage_V }: ModuleEntry): string =>
  `${ratedCapacitance_F} F, ${ratedVoltage_V} V`;
