import type { FindingSubject, Statement, Urgency } from '@coldrounds/core';

/** A finding that was handed over and is not closed yet. */
export interface PlannedFinding {
  finding: string;
  headline: Statement;
  subject: FindingSubject;
  urgency: Urgency;
  /** Calendar day at the site. */
  due: string;
  overdue: boolean;
  reason: string | null;
  by: string;
}

/** What else is due on a unit of the same site. */
export interface AlsoDue {
  unit: { key: string; name: string };
  headline: Statement;
  urgency: Urgency;
  /** Who has it; null: nobody. */
  assignee: string | null;
}

export interface PlannedUnit {
  unit: { key: string; name: string };
  findings: PlannedFinding[];
}

/** One journey: everything that one person has at one site. */
export interface PlannedSite<Site extends { key: string; name: string } = { key: string; name: string }> {
  site: Site;
  /** The earliest day on which something of it is due. */
  due: string;
  units: PlannedUnit[];
  alsoDue: AlsoDue[];
}

export interface HandedOver<Site> extends PlannedFinding {
  site: Site;
  unit: { key: string; name: string };
}

const text = (a: string, b: string): number => (a < b ? -1 : a > b ? 1 : 0);

/**
 * What a person has, by site and unit: sites and units in the order of the earliest day on which something is due
 * there, so that the list reads from top to bottom like a tour.
 */
export function planOf<Site extends { key: string; name: string }>(
  handed: readonly HandedOver<Site>[],
  alsoDue: ReadonlyMap<string, AlsoDue[]>,
): PlannedSite<Site>[] {
  const sites = new Map<string, PlannedSite<Site>>();
  const sorted = [...handed].sort(
    (a, b) =>
      text(a.due, b.due) ||
      text(a.site.name, b.site.name) ||
      text(a.unit.key, b.unit.key) ||
      text(a.finding, b.finding),
  );
  for (const { site, unit, ...finding } of sorted) {
    const planned = sites.get(site.key) ?? {
      ...{ site, due: finding.due, units: [], alsoDue: alsoDue.get(site.key) ?? [] },
    };
    sites.set(site.key, planned);
    const known = planned.units.find((entry) => entry.unit.key === unit.key);
    if (known) known.findings.push(finding);
    else planned.units.push({ unit, findings: [finding] });
  }
  return [...sites.values()];
}
