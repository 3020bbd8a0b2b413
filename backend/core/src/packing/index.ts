export { PackError } from './packing.js';
export * from './packed-windows.js';
export * from './packed-plateaus.js';
