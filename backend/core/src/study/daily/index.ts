export { dayColumns, daySummary, type DayColumn, type DaySummary } from './day-summary.js';
export { blockDays, blockOf, packDays, packedColumn } from './packed-days.js';
export {
  dailyQuantities,
  DailySums,
  type DailyQuantity,
  type DayBlock,
  type SpanDays,
} from './quantities.js';
