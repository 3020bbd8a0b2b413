export {
  type LimitDate,
  type Range,
  type RefusalReason,
  type ReserveForecast,
  forecastFrom,
} from './forecast.js';
export { type ReserveCase, type ReserveNow, caseUncertainty, presentReserve } from './present-reserve.js';
export { type TestReserves, reserveOf, reservesOfTests } from './reserve.js';
export { type ReservePoint, historyPoints } from './reserve-history.js';
export { capacitancesAtReserve } from './reserve-limit.js';
export { type BackupCell, type BackupRuntime, backupRuntime } from './runtime.js';
