import type { StudySearch } from './question-search.js';

/** Questions to start from. */
export const readyQuestions: readonly { words: string; search: StudySearch }[] = [
  {
    words: 'Which valves wear fastest?',
    search: {
      of: 'circuits',
      picture: 'distribution',
      quantity: 'life_fraction_year',
      split: 'valve size',
      days: 90,
    },
  },
  {
    words: 'Do modules age faster where it is warm?',
    search: {
      of: 'modules',
      picture: 'scatter',
      quantity: 'capacitanceLoss_fraction_year',
      against: 'moduleTemperature_K',
    },
  },
  {
    words: 'How does capacitance fall, month by month?',
    search: {
      of: 'modules',
      picture: 'trend',
      quantity: 'capacitance_fraction',
      split: 'climate',
      days: 730,
    },
  },
  {
    words: 'How many modules have 1.5 times their new ESR?',
    search: {
      of: 'modules',
      picture: 'share',
      quantity: 'esr_fraction',
      over: 1.5,
      split: 'climate',
      days: 730,
    },
  },
  {
    words: 'Does newer firmware hunt less?',
    search: {
      of: 'circuits',
      picture: 'distribution',
      quantity: 'huntingFraction',
      split: 'firmware',
      days: 28,
    },
  },
  {
    words: 'What does a lower setpoint change?',
    search: {
      of: 'circuits',
      picture: 'distribution',
      quantity: 'superheatMean_K',
      days: 365,
      change: 'setpoint',
      became: 'lowered',
    },
  },
  {
    words: 'How much superheat is given away?',
    search: { of: 'circuits', picture: 'distribution', quantity: 'headroom_K', split: 'refrigerant' },
  },
  {
    words: 'Which sensors drift?',
    search: {
      of: 'sensors',
      picture: 'share',
      quantity: 'wrong_fraction',
      over: 0,
      split: 'sensor',
      days: 90,
    },
  },
  {
    words: 'Who hunts, month by month?',
    search: {
      of: 'circuits',
      picture: 'share',
      quantity: 'huntingFraction',
      over: 0.1,
      split: 'climate',
      days: 365,
    },
  },
];
