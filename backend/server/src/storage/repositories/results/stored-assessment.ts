import type { ModuleAssessment } from '@coldrounds/core';

/** What is read of a module's assessment: without findings, and without the months of ageing. */
export type StoredAssessment = Omit<ModuleAssessment, 'findings' | 'ageing'>;

/**
 * A stored assessment in the present names: `basedOn` was once written as `standsOn`. A module that has stopped sending is
 * not assessed again, so that its old assessment stays.
 */
export function withPresentNames(detail: StoredAssessment): StoredAssessment {
  return { ...detail, reserve: renamed(detail.reserve), forecast: renamed(detail.forecast) };
}

function renamed<Part extends object>(part: Part): Part {
  if (!('standsOn' in part)) return part;
  const { standsOn: basedOn, ...rest } = part;
  return { ...rest, basedOn } as unknown as Part;
}
