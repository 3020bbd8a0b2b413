import type { Finding } from '@coldrounds/core';
import type { FleetUnit } from '../../registry/fleet.js';
import type { FindingRepository } from '../../storage/repositories/findings/finding.repository.js';
import type { ModuleRepository } from '../../storage/repositories/results/module.repository.js';
import type { ReadingRepository } from '../../storage/repositories/readings/reading.repository.js';
import type { SeriesRepository } from '../../storage/repositories/readings/series.repository.js';
import type { NormalRepository } from '../../storage/repositories/results/normal.repository.js';
import type { WindowRepository } from '../../storage/repositories/results/window.repository.js';
import type { PowerLossService } from '../unit/power-loss.service.js';

export interface EvidenceSources {
  findings: Pick<FindingRepository, 'verdictsOf'>;
  readings: ReadingRepository;
  series: SeriesRepository;
  windows: WindowRepository;
  normals: NormalRepository;
  modules: ModuleRepository;
  losses: PowerLossService;
}

/** One finding, whose it is, and where its data are. */
export interface EvidenceContext {
  sources: EvidenceSources;
  unit: FleetUnit;
  finding: Finding;
  now_s: number;
}

export const day_s = 86_400;
/** No picture needs more points than this in a line. */
export const mostPoints = 360;

/** A column of a picture: a missing value is null, and five digits are finer than its lines. */
export const column = (values: ArrayLike<number>): (number | null)[] =>
  Array.from(values, (value) => (Number.isFinite(value) ? Number(value.toPrecision(5)) : null));

/** Nothing to draw, and why. */
export const nothing = (reason: string) => ({ kind: 'none' as const, reason });

/** Every n-th of the indices, so that at most `most` remain. */
export function everyNth(length: number, most = mostPoints): number[] {
  const step = Math.max(1, Math.ceil(length / most));
  return Array.from({ length: Math.ceil(length / step) }, (_, index) => index * step);
}

/** A quantity that the headline names, or null. */
export const named = ({ headline }: Finding, name: string): number | null =>
  headline.quantities[name]?.value ?? null;

/** All quantities that its sentences name, so that the picture shows the same figures; of those with one name the first. */
export const claimOf = ({ headline, reasons }: Finding): Finding['headline']['quantities'] =>
  Object.assign({}, ...[headline, ...reasons].reverse().map(({ quantities }) => quantities));

export function circuitOf({ unit, finding: { subject } }: EvidenceContext) {
  const number = 'circuit' in subject ? subject.circuit : unit.circuits[0]?.number;
  return unit.circuits.find((circuit) => circuit.number === number) ?? null;
}

export function moduleOf({ unit, finding: { subject } }: EvidenceContext) {
  return subject.kind === 'module'
    ? (unit.modules.find((module) => module.number === subject.module) ?? null)
    : null;
}
