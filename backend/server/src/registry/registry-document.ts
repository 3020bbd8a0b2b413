import { evaporatorTypes, refrigerantNames, reportingHabits, type Registry } from '@coldrounds/core';
import { z } from 'zod';
import {
  assumedSchema,
  circuitEntrySchema,
  moduleEntrySchema,
  sparkplugPointSchema,
} from './entry-schemas.js';

/** The registry document cannot be used; one line per place, in the words of the document. */
export class RegistryError extends Error {
  override name = 'RegistryError';
  constructor(readonly problems: string[]) {
    super(['The registry document cannot be used:'].concat(problems.map((line) => `  ${line}`)).join('\n'));
  }
}

/** How sites and units are named in topics and addresses. */
export const keySchema = z
  .string()
  .regex(/^[a-z0-9]+(-[a-z0-9]+)*$/, 'must be lower-case letters, digits and single hyphens');

/** Whether it is a time zone of the IANA database that this machine knows; no offset, whose sign is read in two ways. */
export function isTimeZone(name: string): boolean {
  try {
    new Intl.DateTimeFormat('en', { timeZone: name });
    return /^[A-Za-z][A-Za-z0-9_+\-/]*$/.test(name);
  } catch {
    return false;
  }
}

const unit = z
  .object({
    key: keySchema,
    name: z.string().min(1),
    refrigerant: z.string(),
    nominalCapacity_W: z.number().positive(),
    condenser: z.enum(['air', 'water']),
    evaporator: z.enum(evaporatorTypes).default('dry-expansion'),
    reversible: z.boolean().default(false),
    reporting: z.enum(reportingHabits).optional(),
    commissionedOn: z.iso.date().nullable(),
    controllerFirmware: z.string().min(1),
    circuits: z
      .array(
        circuitEntrySchema.extend({
          floodbackLimit_K: z.number().nonnegative().default(2),
          safetyMargin_K: z.number().nonnegative().default(1),
        }),
      )
      .min(1),
    modules: z.array(moduleEntrySchema).default([]),
    sparkplug: z.array(sparkplugPointSchema).max(1_000).optional(),
    assumed: assumedSchema,
  })
  .superRefine((entry, context) => {
    const numbers = entry.circuits.map((circuit) => circuit.number);
    const repeated = (values: number[]) => values.find((value, index) => values.indexOf(value) !== index);
    const again = repeated(numbers);
    if (again !== undefined)
      context.addIssue({ code: 'custom', path: ['circuits'], message: `has circuit ${again} twice` });
    const moduleAgain = repeated(entry.modules.map((module) => module.number));
    if (moduleAgain !== undefined)
      context.addIssue({ code: 'custom', path: ['modules'], message: `has module ${moduleAgain} twice` });
    entry.modules.forEach((module, index) => {
      const unknown = module.circuits.find((number) => !numbers.includes(number));
      if (unknown !== undefined)
        context.addIssue({
          code: 'custom',
          path: ['modules', index, 'circuits'],
          message: `names circuit ${unknown}, which the unit does not have`,
        });
      if (module.minimumVoltage_V >= module.ratedVoltage_V)
        context.addIssue({
          code: 'custom',
          path: ['modules', index, 'minimumVoltage_V'],
          message: 'must be below ratedVoltage_V',
        });
    });
    const moduleNumbers = entry.modules.map((module) => module.number);
    entry.sparkplug?.forEach(({ stream, number }, index) => {
      const known = stream === 'circuits' ? numbers : stream === 'backup' ? moduleNumbers : null;
      if (known !== null && number !== undefined && !known.includes(number))
        context.addIssue({
          code: 'custom',
          path: ['sparkplug', index, 'number'],
          message: `names ${stream} ${number}, which the unit does not have`,
        });
    });
    entry.circuits.forEach((circuit, index) => {
      for (const name of [
        'suctionPressure',
        'dischargePressure',
        'suctionTemperature',
        'dischargeTemperature',
        'liquidTemperature',
      ] as const)
        if (circuit[name].minimum >= circuit[name].maximum)
          context.addIssue({
            code: 'custom',
            path: ['circuits', index, name],
            message: 'minimum must be below maximum',
          });
    });
  });

const registry = z.object({
  sites: z.array(
    z
      .object({
        key: keySchema,
        name: z.string().min(1),
        altitude_m: z.number().min(-450).max(9000),
        latitude_deg: z.number().min(-90).max(90),
        longitude_deg: z.number().min(-180).max(180),
        timeZone: z.string().refine(isTimeZone, 'must be an IANA time zone'),
        climate: z.string().min(1),
        region: z.string().min(1).optional(),
        currency: z
          .string()
          .regex(/^[A-Z]{3}$/, 'must be an ISO 4217 code')
          .optional(),
        energyPrice_per_kWh: z.number().positive().optional(),
        units: z.array(unit),
      })
      .superRefine((site, context) => {
        const keys = site.units.map((entry) => entry.key);
        const again = keys.find((value, index) => keys.indexOf(value) !== index);
        if (again !== undefined)
          context.addIssue({ code: 'custom', path: ['units'], message: `has unit "${again}" twice` });
      }),
  ),
});

interface Keyed {
  key?: unknown;
}

/** Where in the document, by keys rather than by positions: `site "harbour", unit "roof-1", circuits 2 valve`. */
function place(document: unknown, path: PropertyKey[]): string {
  const words: string[] = [];
  let node: unknown = document;
  for (const step of path) {
    node =
      typeof node === 'object' && node !== null ? (node as Record<PropertyKey, unknown>)[step] : undefined;
    if (step === 'sites' || step === 'units') continue;
    if (typeof step === 'number') {
      const name = (node as Keyed | undefined)?.key;
      const kind = words.some((word) => word.startsWith('site ')) ? 'unit' : 'site';
      const inEntry = words.some((word) => word === 'circuits' || word === 'modules');
      words.push(
        inEntry ? `[${step}]` : `${kind} ${typeof name === 'string' ? `"${name}"` : `number ${step + 1}`}`,
      );
    } else words.push(String(step));
  }
  return words.join(' ') || 'document';
}

/** Checks a registry document and returns it with its defaults filled in. Throws `RegistryError` naming every place. */
export function readRegistry(document: unknown): Registry {
  const result = registry.safeParse(document);
  if (!result.success)
    throw new RegistryError(
      result.error.issues.map((issue) => `${place(document, issue.path)}: ${issue.message}`),
    );
  const known = refrigerantNames();
  const problems: string[] = [];
  const siteKeys = new Set<string>();
  for (const site of result.data.sites) {
    if (siteKeys.has(site.key)) problems.push(`site "${site.key}" appears twice`);
    siteKeys.add(site.key);
    for (const entry of site.units)
      if (!known.includes(entry.refrigerant))
        problems.push(
          `site "${site.key}" unit "${entry.key}": refrigerant "${entry.refrigerant}" has no property table; known are ${known.join(', ')}`,
        );
  }
  if (problems.length > 0) throw new RegistryError(problems);
  return result.data;
}
