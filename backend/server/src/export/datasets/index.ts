import type { Dataset } from '../dataset.js';
import { circuitsDataset } from './circuits.js';
import { closingsDataset } from './closings.js';
import { decisionsDataset, findingsDataset } from './findings.js';
import { readingDatasets } from './readings.js';
import { circuitStudyDataset, moduleStudyDataset } from './study.js';
import { circuitDaysDataset, windowsDataset } from './windows.js';

/** Every table that can be taken away. */
export const datasets: readonly Dataset[] = [
  circuitsDataset,
  ...readingDatasets,
  windowsDataset,
  circuitDaysDataset,
  closingsDataset,
  findingsDataset,
  decisionsDataset,
  circuitStudyDataset,
  moduleStudyDataset,
];
