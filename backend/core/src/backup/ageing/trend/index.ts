export { type Trend, reserveTrend } from './reserve-trend.js';
