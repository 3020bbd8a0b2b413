import { z } from 'zod';
import { NotKnownError } from '../registry/fleet.service.js';

/** A parameter of a request that cannot be used; says which and why. */
export class BadParameterError extends Error {
  override name = 'BadParameterError';
  constructor(readonly errors: { name: string; reason: string }[]) {
    super(errors.map(({ name, reason }) => `${name}: ${reason}`).join('; '));
  }
}

export function invalidParameters(error: unknown): Error {
  if (error instanceof z.ZodError || (typeof error === 'object' && error !== null && 'issues' in error)) {
    const issues = (error as z.ZodError).issues;
    return new BadParameterError(
      issues.map((issue) => ({ name: issue.path.join('.') || 'query', reason: issue.message })),
    );
  }
  return new BadParameterError([{ name: 'query', reason: 'cannot be read' }]);
}

/** It lies outside the sites of the person, who is told that it does not exist. */
export class OutsideSitesError extends NotKnownError {
  override name = 'OutsideSitesError';
}

/** The address is known, but does not answer this method. */
export class MethodNotAllowedError extends Error {
  override name = 'MethodNotAllowedError';
}

/** The answer cannot be given yet: the server is still starting. */
export class NotReadyError extends Error {
  override name = 'NotReadyError';
}
