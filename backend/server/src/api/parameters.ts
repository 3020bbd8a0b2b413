import { createZodValidationPipe, type ZodDto } from 'nestjs-zod';
import { BadParameterError, invalidParameters } from './errors.js';
import type { Span, UnitPath } from '../registry/paths.js';

const Pipe = createZodValidationPipe({ createValidationException: (error) => invalidParameters(error) });

/** A pipe that reads the query by the DTO's schema; explicit, so that no type metadata is needed at run time. */
export const parsed = (dto: ZodDto) => new Pipe(dto);

export function unitPath(text: string): UnitPath {
  const [site, unit, ...rest] = text.split('/');
  if (!site || !unit || rest.length > 0)
    throw new BadParameterError([{ name: 'unit', reason: 'must have the form {siteKey}/{unitKey}' }]);
  return { site, unit };
}

export function instant_s(value: string | number): number {
  const seconds = typeof value === 'number' ? value : Date.parse(value) / 1000;
  if (!Number.isFinite(seconds) || Math.abs(seconds) > 1e11)
    throw new BadParameterError([{ name: 'at', reason: 'must be an ISO time or seconds since the epoch' }]);
  return seconds;
}

/** An instant that is not still to come: of the future nothing is known. */
export function pastInstant_s(name: string, value: string, now_s = Date.now() / 1000): number {
  const at_s = Date.parse(value) / 1000;
  if (at_s > now_s) throw new BadParameterError([{ name, reason: 'must not lie in the future' }]);
  return at_s;
}

export function span(
  query: { from?: string | number; to?: string | number },
  default_s: number,
  now_s = Date.now() / 1000,
): Span {
  const to_s = query.to === undefined ? now_s : instant_s(query.to);
  const from_s = query.from === undefined ? to_s - default_s : instant_s(query.from);
  if (!(from_s < to_s)) throw new BadParameterError([{ name: 'from', reason: 'must be before `to`' }]);
  return { from_s, to_s };
}
