import { z } from 'zod';

/** Instants of records are ISO strings; times in series are seconds since the epoch, in columns named `time_s`. */
export const instant = z.iso.datetime().describe('Instant, ISO 8601 in UTC');
export const seconds = z.number().describe('Seconds since the Unix epoch');

/** One column of a series: as long as its `time_s`; null where there was no value. */
export const column = z
  .array(z.number().nullable())
  .describe('Column of a series; null where no value was sent');
export const timeColumn = z.array(z.number()).describe('Seconds since the Unix epoch, increasing');
export const maybe = z.number().nullable();

export const siteReferenceSchema = z
  .object({
    key: z.string(),
    name: z.string(),
    timeZone: z.string(),
    climate: z.string(),
    ambientPressure_Pa: z
      .number()
      .describe("Pressure of the air at the site's height, by the standard atmosphere: gauges read from it"),
  })
  .meta({ id: 'SiteReference' });

export const unitReferenceSchema = z
  .object({
    key: z.string(),
    name: z.string(),
    refrigerant: z.string(),
    safetyClass: z.string().nullable().describe('Safety class to ASHRAE 34 / ISO 817'),
    nominalCapacity_W: z.number(),
    controllerFirmware: z.string(),
  })
  .meta({ id: 'UnitReference' });

/** Problem details, RFC 9457: the body of every answer that is an error. */
export const problemSchema = z
  .object({
    type: z.string(),
    title: z.string(),
    status: z.number(),
    detail: z.string(),
    errors: z
      .array(z.object({ name: z.string(), reason: z.string() }))
      .optional()
      .describe('For a parameter that cannot be used: its name and the reason'),
  })
  .meta({ id: 'Problem' });
