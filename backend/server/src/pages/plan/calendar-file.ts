import ical, { ICalEventTransparency } from 'ical-generator';
import { statementWords } from '../../notices/mail/quantity-words.js';
import type { PlannedFinding, PlannedSite } from './day-plan.js';

/** A calendar as a program that subscribes to it reads it (iCalendar, RFC 5545). */
export interface CalendarInput {
  personId: number;
  personName: string;
  sites: readonly PlannedSite<{ key: string; name: string; timeZone: string }>[];
  /** Address of the pages, without a slash at its end. */
  address: string;
}

interface Visit {
  due: string;
  units: { key: string; name: string; findings: PlannedFinding[] }[];
}

/** How often a program is asked to look again, s. */
const again_s = 3600;

/**
 * Work handed over as a calendar: one entry for each site and day on which something is due there. Entries last the
 * whole day and have no zone (RFC 5545, `VALUE=DATE`): work is due on a calendar day at its site, which is the same day
 * in whatever zone the calendar is read. An entry keeps its identifier while its site and day stay the same.
 */
export function calendarFile({ personId, personName, sites, address }: CalendarInput): string {
  const calendar = ical({
    name: `Coldrounds: visits of ${personName}`,
    prodId: { company: 'Coldrounds', product: 'visits', language: 'EN' },
    ttl: again_s,
  });
  for (const { site, units } of sites)
    for (const { due, units: visited } of visitsOf(units)) {
      const findings = visited.reduce((sum, unit) => sum + unit.findings.length, 0);
      calendar.createEvent({
        id: `visit-${personId}-${site.key}-${due}@coldrounds`,
        start: noon(due),
        allDay: true,
        summary: `Visit ${site.name}: ${findings === 1 ? '1 finding' : `${findings} findings`}`,
        location: site.name,
        description: [
          ...visited.flatMap((unit) =>
            unitLines(unit, site.timeZone, `${address}/units/${site.key}/${unit.key}`),
          ),
          `Due by the end of the day at the site (${site.timeZone}).`,
          'Follow the cautions of the visit brief, the local codes and licensed practice.',
        ].join('\n'),
        url: `${address}/plan?person=${personId}`,
        transparency: ICalEventTransparency.TRANSPARENT,
      });
    }
  return calendar.toString();
}

/** Noon by the clock of this process: the calendar day is then the same, whichever way a date is written from it. */
const noon = (day: string): Date => {
  const [year, month, date] = day.split('-').map(Number);
  return new Date(year, month - 1, date, 12);
};

function visitsOf(units: CalendarInput['sites'][number]['units']): Visit[] {
  const visits = new Map<string, Visit>();
  for (const { unit, findings } of units)
    for (const finding of findings) {
      const visit = visits.get(finding.due) ?? { due: finding.due, units: [] };
      visits.set(finding.due, visit);
      const known = visit.units.find(({ key }) => key === unit.key);
      if (known) known.findings.push(finding);
      else visit.units.push({ ...unit, findings: [finding] });
    }
  return [...visits.values()];
}

const unitLines = ({ name, findings }: Visit['units'][number], timeZone: string, page: string): string[] => [
  `${name}: ${page}`,
  ...findings.map(
    ({ headline, reason }) =>
      `- ${statementWords(headline, 'si', timeZone)}${reason === null ? '' : ` (${reason})`}`,
  ),
];
