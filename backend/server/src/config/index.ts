export * from './config.js';
