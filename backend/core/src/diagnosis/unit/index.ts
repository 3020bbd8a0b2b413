export * from '../advice/advice.js';
export * from './diagnosis.js';
export * from './explaining/symptom-causes.js';
export * from './explaining/fewest-causes.js';
export * from './explaining/cause-wording.js';
export * from './diagnose-unit.js';
export * from './advice-for.js';
export * from './diagnoses-of.js';
export * from './departure/circuit-departure.js';
export * from './normal/unit-normal.js';
export * from './normal/kept-normal.js';
export * from './normal/like-normal.js';
export { answersOf, windowsThatTell } from '../swapped/swapped-by-valve.js';
export { swapColumns, swapRecord_s } from '../standing/swapped-between-circuits.js';
export {
  clockColumns,
  clockRecord_s,
  clocksApart,
  isMispaired,
  notClaimedWhileMispaired,
} from '../standing/clocks-apart.js';
export type { DepartingCircuit } from '../causes/swapped-by-normal.js';
export { swappedCircuits } from './swapped-circuits.js';
export { slicesOfWindows } from './circuit-findings-of.js';
