import { urgencies, type Urgency, type WaitingCost } from '../finding.js';
import type { Diagnosis } from './diagnosis.js';

/** What waiting costs most, of several that wait; the first where they cost the same. */
export const costliest = (all: readonly { waiting: WaitingCost }[]): WaitingCost =>
  all.reduce((most, { waiting }) => (waiting.score > most.score ? waiting : most), all[0].waiting);

export const mostUrgent = (all: readonly Urgency[]): Urgency =>
  urgencies[Math.min(...all.map((urgency) => urgencies.indexOf(urgency)))];

/** A diagnosis with what another shows beneath it, as that follows from it. */
export const withBeneath = (fault: Diagnosis, other: Diagnosis): Diagnosis => ({
  ...fault,
  symptoms: [...fault.symptoms, ...other.symptoms],
  consequences: [...fault.consequences, ...other.symptoms],
});
