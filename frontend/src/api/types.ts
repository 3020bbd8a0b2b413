import type { components } from './schema.js';

type Schemas = components['schemas'];

export type Urgency = Schemas['Urgency'];
export type Certainty = Schemas['Certainty'];
export type Hazard = Schemas['Hazard'];
export type Finding = Schemas['Finding'];
export type Explanation = Schemas['Explanation'];
export type Progress = Schemas['Progress'];
export type Round = Schemas['Round'];
export type RoundUnit = Schemas['RoundUnit'];
export type QuietUnit = Schemas['QuietUnit'];
export type UnitSummary = Schemas['UnitSummary'];
export type UnitDetail = Schemas['UnitDetail'];
export type CircuitDetail = Schemas['CircuitDetail'];
export type CircuitAssessment = Schemas['CircuitAssessment'];
export type OperatingState = Schemas['OperatingState'];
export type CircuitSeries = Schemas['CircuitSeriesResponse'];
export type WindowRow = Schemas['WindowRow'];
export type WindowPicture = Schemas['WindowPicture'];
export type ModuleOverview = Schemas['ModuleOverview'];
export type ModuleAssessment = Schemas['ModuleAssessment'];
export type ClosingRow = Schemas['ClosingRow'];
export type PowerLoss = Schemas['PowerLoss'];
export type Refrigerant = Schemas['Refrigerant'];
export type BackupStudy = Schemas['BackupStudy'];
export type BackupCohort = Schemas['BackupCohort'];
export type CircuitStudyRow = Schemas['CircuitStudyRow'];
