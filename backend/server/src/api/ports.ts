import type { AgeingMonth } from '@coldrounds/core';
import type { z } from 'zod';
import type * as schemas from './schemas/index.js';

/**
 * What the controllers ask of the services, in the terms of the published schemas. A service that no longer fits
 * its schema does not compile; tests of controllers put fakes here.
 */
type Out<S extends z.ZodType> = z.output<S>;

export type Round = Out<typeof schemas.roundSchema>;
export type RoundUnit = Out<typeof schemas.roundUnitSchema>;
export type Progress = Out<typeof schemas.progressSchema>;
export type Health = Out<typeof schemas.healthSchema>;
export type RecordedFinding = Out<typeof schemas.findingSchema>;
export type UnitReference = Out<typeof schemas.unitReferenceSchema>;
export type SiteReference = Out<typeof schemas.siteReferenceSchema>;

export interface UnitPath {
  site: string;
  unit: string;
}
export interface CircuitPath extends UnitPath {
  circuit: number;
}
export interface ModulePath extends UnitPath {
  module: number;
}
export interface Span {
  from_s: number;
  to_s: number;
}

export abstract class HealthReader {
  abstract health(): Promise<Health>;
}
export abstract class ProgressReader {
  abstract progress(): Promise<Progress>;
}
export abstract class RoundReader {
  abstract round(query: { at_s: number | null; site?: string; urgency?: string }): Promise<Round>;
}
export abstract class FindingReader {
  abstract history(query: {
    unit?: UnitPath;
    open?: boolean;
    limit: number;
  }): Promise<Out<typeof schemas.findingHistorySchema>>;
}
export abstract class UnitReader {
  abstract list(): Promise<Out<typeof schemas.unitListSchema>>;
  abstract detail(path: UnitPath): Promise<Out<typeof schemas.unitDetailSchema>>;
  abstract floor(path: CircuitPath): Promise<Out<typeof schemas.floorResponseSchema>>;
}
export abstract class SeriesReader {
  abstract circuit(
    path: CircuitPath,
    span: Span,
    points: number,
  ): Promise<Out<typeof schemas.circuitSeriesSchema>>;
  abstract water(path: UnitPath, span: Span, points: number): Promise<Out<typeof schemas.waterSeriesSchema>>;
  abstract backup(
    path: ModulePath,
    span: Span,
    points: number,
  ): Promise<Out<typeof schemas.backupSeriesSchema>>;
}
export abstract class WindowReader {
  abstract list(path: CircuitPath, span: Span): Promise<Out<typeof schemas.windowListSchema>>;
  abstract picture(path: CircuitPath, start_s: number): Promise<Out<typeof schemas.windowPictureSchema>>;
}
export abstract class CycleReader {
  abstract cycle(path: CircuitPath, at_s: number | null): Promise<Out<typeof schemas.cycleSchema>>;
}
export abstract class ModuleReader {
  abstract detail(path: ModulePath): Promise<Out<typeof schemas.moduleDetailSchema>>;
  abstract closing(path: ModulePath, startedAt_s: number): Promise<Out<typeof schemas.closingDetailSchema>>;
}
export abstract class PowerLossReader {
  abstract list(path: UnitPath): Promise<Out<typeof schemas.powerLossListSchema>>;
  abstract replay(path: UnitPath, startedAt_s: number): Promise<Out<typeof schemas.powerLossReplaySchema>>;
}
export interface ModuleMonth extends ModulePath, AgeingMonth {
  cohort: string;
  /** Against the module's own new value, or the rated one that stands for it. */
  capacitanceRatio: number | null;
  esrRatio: number | null;
  newValueFrom: 'own' | 'rated';
}
export abstract class StudyReader {
  abstract circuits(
    query: Out<typeof schemas.circuitStudyQuerySchema>,
  ): Promise<Out<typeof schemas.circuitStudySchema>>;
  abstract backup(
    query: Out<typeof schemas.backupStudyQuerySchema>,
  ): Promise<Out<typeof schemas.backupStudySchema>>;
  /** What the backup study stands on, module by module and month by month. */
  abstract backupMonths(query: Out<typeof schemas.backupExportQuerySchema>): Promise<ModuleMonth[]>;
}
export abstract class UnreadReader {
  abstract list(query: { page: number; reason?: string }): Promise<Out<typeof schemas.unreadListSchema>>;
  abstract payload(id: string): Promise<{ topic: string; payload: Buffer }>;
}
export abstract class RefrigerantReader {
  abstract list(): Out<typeof schemas.refrigerantListSchema>;
}

/** Rows of an export, the header first; read one after another so that a long export needs little memory. */
export interface Table {
  name: string;
  columns: string[];
  rows: AsyncIterable<(string | number | null)[]>;
}
export abstract class ExportReader {
  abstract circuitSeries(path: CircuitPath, span: Span): Promise<Table>;
  abstract closings(path: ModulePath): Promise<Table>;
  abstract circuitStudy(query: Out<typeof schemas.circuitStudyQuerySchema>): Promise<Table>;
  abstract backupStudy(query: Out<typeof schemas.backupExportQuerySchema>): Promise<Table>;
}

/** Server-sent events, as they happen. */
export interface LiveEvent {
  type: 'round-changed' | 'progress' | 'reading';
  data: object;
}
export abstract class LiveEvents {
  abstract listen(listener: (event: LiveEvent) => void): () => void;
}
