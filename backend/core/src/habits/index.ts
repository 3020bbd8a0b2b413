export * from './resolution.js';
export * from './reporting.js';
export * from './glitches.js';
export * from './hold.js';
export * from './clock-delay.js';
export * from './signal-habit.js';
export * from './learn-habits.js';
export * from './prepare-series.js';
