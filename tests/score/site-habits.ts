import type { CircuitCase } from '@coldrounds/simulator';
import { fieldHabits } from './field-habits.js';
import { gatewayHabits } from './gateway-habits.js';
import { machineHabits } from './machine-habits.js';
import type { SiteHabit } from './site-units.js';

const deadband = { temperature: 0.2, pressure: 3000, opening: 0.5, load: 1, flow: 2e-4 };
const ports = ['both-at-port', 'pressure-at-compressor', 'temperature-at-compressor'] as const;

const sent = (name: string, sending: CircuitCase['sending'], silenceIsRight = false): SiteHabit => ({
  name,
  case: () => ({ sending }),
  silenceIsRight,
});

/** How gateways send. */
export const sendingHabits: readonly SiteHabit[] = [
  sent('values at 10 s', undefined),
  sent('values at 60 s', { interval_s: 60 }),
  sent('30 % of rows missing', { missingFraction: 0.3 }),
  sent('valve opening in steps of 5 %', { step: { opening: 5 } }),
  sent('sent on change', { onChange: { deadband } }),
  sent('sent on change, rows filled', { onChange: { deadband, fillsRows: true } }),
  sent('sent on change, heartbeat of 15 min', { onChange: { deadband, heartbeat_s: 900 } }),
  sent('temperatures in steps of 1 K', { step: { temperature: 1 } }, true),
  sent('steps of 0.5 K and 0.1 bar', { step: { temperature: 0.5, pressure: 1e4 } }),
  sent('means of 5 min', { interval_s: 300, average: true }, true),
  sent('clocks up to 3 min apart', { clocksApart_s: 180 }),
  sent('a few glitches a day', { glitchesPerDay: 4 }),
  sent('values held after a lost line', { held: { perDay: 0.5, minutes: 60 } }),
];

/** What machines do. */
export const runningHabits: readonly SiteHabit[] = [
  {
    name: 'reversed for hours',
    case: (unit) => ({
      habits: {
        reversed: { from_h: 3 + (unit % 12), hours: 5, sensors: ports[unit % 3]!, defrostEvery_h: 2 },
      },
    }),
  },
  {
    name: 'hot-gas defrost',
    case: (unit) => ({ habits: { hotGasDefrost: { every_h: 3 + (unit % 4), minutes: 8 } } }),
  },
  { name: 'pump-down before each stop', case: () => ({ habits: { pumpDown: true } }) },
  {
    name: 'flooded evaporator at 1 to 3 K',
    case: (unit) => ({
      design: { evaporator: 'flooded', floodedSuperheat_K: 1 + (unit % 5) / 2 },
      condenser: 'water',
    }),
  },
  {
    name: 'stops of 6 min a day',
    case: (unit) => ({ selfTest: false, stand: { kind: 'daily-rest', from_h: unit % 24, hours: 0.1 } }),
  },
  {
    name: 'starts and stops every few minutes',
    case: (unit) => ({
      load: { base: 0.3, occupied: 0.05 },
      habits: { cycling: { runMinutes: 8 + (unit % 5), stopMinutes: 6 } },
    }),
  },
  { name: 'capacity in stages', case: () => ({ capacityControl: 'stages', circuits: 2 }) },
];

/** Habits that were first asked for, and further ones of gateways and machines, for which faulty units are not simulated. */
export const firstHabits: readonly SiteHabit[] = [...sendingHabits, ...runningHabits];
export const furtherHabits: readonly SiteHabit[] = [...gatewayHabits, ...machineHabits, ...fieldHabits];
export const siteHabits: readonly SiteHabit[] = [...firstHabits, ...furtherHabits];
