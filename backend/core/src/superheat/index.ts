export * from './superheat.js';
