export * from './base64.js';
export * from './bracketed-root.js';
export * from './uniform-spline.js';
