export * from './series-error.js';
export * from './fourier.js';
export * from './lomb-scargle.js';
export * from './autocorrelation.js';
export * from './detrend.js';
export * from './sine-fit.js';
export * from './resample.js';
