import type { Zone } from '../quantities/site-time.js';

/** Colours, type and clock of the page, read once per change so that the option functions stay pure. */
export interface ChartTheme {
  ink: string;
  quiet: string;
  hair: string;
  paper: string;
  /** Line colours in order of use. */
  plot: [string, string, string, string, string];
  band: string;
  limit: string;
  mark: string;
  good: string;
  font: string;
  /** Whose clock the time axes show: the site's. */
  zone: Zone;
}

/** For tests: any distinct values do. */
export const plainTheme: ChartTheme = {
  ink: '#000',
  quiet: '#555',
  hair: '#ddd',
  paper: '#fff',
  plot: ['#1', '#2', '#3', '#4', '#5'],
  band: '#b',
  limit: '#l',
  mark: '#m',
  good: '#g',
  font: 'sans-serif',
  zone: 'UTC',
};
