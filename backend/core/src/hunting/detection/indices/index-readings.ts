import { quantity, statement, type Statement } from '../../../diagnosis/statement.js';
import { oscillationLimits } from '../oscillation-limits.js';

/** One published index as a reader sees it: its name, what it says here, and what it means. */
export interface IndexReading {
  key: string;
  name: string;
  source: string;
  value: number;
  limit: number;
  /** Whether it indicates an oscillation. */
  agrees: boolean;
  meaning: Statement;
}

interface Description {
  key: string;
  name: string;
  source: string;
  limit: number;
  above: boolean;
  text: string;
}

const descriptions: readonly Description[] = [
  {
    key: 'lombScarglePower',
    name: 'Normalised Lomb-Scargle power',
    source: 'Lomb 1976; Scargle 1982',
    limit: oscillationLimits.leastFraction,
    above: true,
    text: 'A sine at the period found explains {value} of the variance once the slow drift is removed.',
  },
  {
    key: 'lombScargleFalseAlarm',
    name: 'False-alarm probability of the peak',
    source: 'Scargle 1982; Horne & Baliunas 1986, over a coloured background',
    limit: oscillationLimits.falseAlarm,
    above: false,
    text: 'Noise with this background would show such a peak with a probability of {value}.',
  },
  {
    key: 'thornhillRegularity',
    name: 'Regularity of the autocovariance',
    source: 'Thornhill, Huang & Zhang 2003',
    limit: oscillationLimits.thornhill,
    above: true,
    text: 'The zero crossings of the autocovariance have a regularity of {value}; above 1, their scatter is under a third of the period.',
  },
  {
    key: 'miaoSeborgDecay',
    name: 'Decay ratio of the autocorrelation',
    source: 'Miao & Seborg 1999',
    limit: oscillationLimits.miaoSeborg,
    above: true,
    text: 'From one peak of the autocorrelation to the next, {value} of the amplitude remains; above 0.5 counts as an oscillation.',
  },
  {
    key: 'forsmanStattinSimilarity',
    name: 'Similarity of half-cycles',
    source: 'Forsman & Stattin 1999',
    limit: oscillationLimits.forsmanStattin,
    above: true,
    text: '{value} of the half-cycles match the previous one of the same sign in area and length.',
  },
  {
    key: 'haegglundLoadFraction',
    name: 'Load count',
    source: 'Haegglund 1995',
    limit: oscillationLimits.haegglund,
    above: true,
    text: '{value} of the half-cycles that fit into this time reach at least half of the fitted amplitude.',
  },
  {
    key: 'phaseKeeping',
    name: 'Phase concentration',
    source: "after Rayleigh's test of directions",
    limit: oscillationLimits.phaseConcentration,
    above: true,
    text: 'The mean resultant length of the phase is {value}: 1 where the cycle keeps its phase throughout, 0 where the phase is random.',
  },
];

/** The indices of a verdict, each with its published name and a sentence of what it means; those not computed are left out. */
export function indexReadings(indices: Record<string, number | null>): IndexReading[] {
  const readings: IndexReading[] = [];
  for (const { key, name, source, limit, above, text } of descriptions) {
    const value = indices[key];
    if (value === null || value === undefined || !Number.isFinite(value)) continue;
    readings.push({
      key,
      name,
      source,
      value,
      limit,
      agrees: above ? value > limit : value <= limit,
      meaning: statement(text, { value: quantity('ratio', value) }),
    });
  }
  return readings;
}
