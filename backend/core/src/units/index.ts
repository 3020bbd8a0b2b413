export * from './convert.js';
export * from './errors.js';
export * from './months.js';
export * from './standard-atmosphere.js';
