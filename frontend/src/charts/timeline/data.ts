import type { Column } from '../parts.js';

export interface TimelineData {
  resolution_s: number;
  time_s: readonly number[];
  superheat_K: Column;
  superheatMinimum_K: Column;
  superheatMaximum_K: Column;
  superheatUncertainty_K: Column;
  superheatSetpoint_K: Column;
  valveOpening_pct: Column;
  valveOpeningMinimum_pct: Column;
  valveOpeningMaximum_pct: Column;
  suctionPressure_Pa: Column;
  dischargePressure_Pa: Column;
  suctionTemperature_K: Column;
  suctionSaturationTemperature_K: Column;
  dischargeTemperature_K: Column;
  dischargeSaturationTemperature_K: Column;
  liquidTemperature_K: Column;
  compressorLoad_pct: Column;
  floodbackLimit_K: number;
  mainsLosses: readonly { from_s: number; to_s: number | null }[];
}

export interface WaterData {
  time_s: readonly number[];
  enteringTemperature_K: Column;
  leavingTemperature_K: Column;
  ambientTemperature_K: Column;
}
