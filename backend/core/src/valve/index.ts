export * from './valve-use.js';
