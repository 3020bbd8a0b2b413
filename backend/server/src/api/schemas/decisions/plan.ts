import { z } from 'zod';
import { instant, siteReferenceSchema } from '../common.js';
import { findingSubjectSchema, statementSchema, urgencySchema } from '../round/finding.js';

const unit = z.object({ key: z.string(), name: z.string() });

export const planQuerySchema = z.object({
  person: z.coerce.number().int().min(1).optional().describe('Whose plan; default: one’s own'),
  until: z.iso.date().optional().describe('Last day, at each site, whose work is wanted; default: all'),
});

export const plannedFindingSchema = z
  .object({
    finding: z.string(),
    headline: statementSchema.describe('Of the finding when it was handed over'),
    subject: findingSubjectSchema,
    urgency: urgencySchema.describe('As it is now'),
    due: z.string().describe('Calendar day at the site'),
    overdue: z.boolean(),
    reason: z.string().nullable(),
    by: z.string().describe('Who handed it over'),
  })
  .meta({ id: 'PlannedFinding' });

export const alsoDueSchema = z
  .object({
    unit,
    headline: statementSchema,
    urgency: urgencySchema,
    assignee: z.string().nullable().describe('Who has it; null: nobody'),
  })
  .meta({ id: 'AlsoDue' });

export const dayPlanSchema = z
  .object({
    person: z.object({ id: z.number(), name: z.string() }),
    asOf: instant,
    findings: z.number(),
    overdue: z.number(),
    sites: z
      .array(
        z
          .object({
            site: siteReferenceSchema,
            due: z.string().describe('The earliest day on which something of it is due'),
            units: z.array(z.object({ unit, findings: z.array(plannedFindingSchema) })),
            alsoDue: z.array(alsoDueSchema).describe('What else asks for a visit there'),
          })
          .meta({ id: 'PlannedSite' }),
      )
      .describe('In the order of the earliest day on which something is due there'),
  })
  .meta({ id: 'DayPlan' });

export const calendarAddressSchema = z
  .object({
    address: z
      .object({ madeAt: instant, usedAt: instant.nullable() })
      .nullable()
      .describe('null: there is none'),
  })
  .meta({ id: 'CalendarAddress' });

export const newCalendarAddressSchema = z
  .object({
    path: z.string().describe('Path on this server, shown only now; whoever knows it reads the calendar'),
  })
  .meta({ id: 'NewCalendarAddress' });
