export * from './changes/index.js';
export * from './comparison/index.js';
export * from './daily/index.js';
export * from './modules/index.js';
export * from './survival/index.js';
