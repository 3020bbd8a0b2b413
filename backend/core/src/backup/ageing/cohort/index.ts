export {
  type CohortAgeing,
  type LikeModules,
  beliefFor,
  cohortAgeing,
  cohortPartOf,
  cohortParts,
  fewestCohortModules,
} from './cohort-belief.js';
export { type CohortEvidence, cohortEvidence, fewestCohortMonths } from './cohort-evidence.js';
