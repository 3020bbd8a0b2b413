import type { NextFunction, Request, Response } from 'express';
import { MethodNotAllowedError } from './errors.js';

interface Route {
  pattern: RegExp;
  methods: string[];
}

/** The paths of an OpenAPI document as patterns, each with the methods that it answers. */
function routesOf(paths: Record<string, object>): Route[] {
  return Object.entries(paths).map(([path, operations]) => {
    const own = Object.keys(operations).map((method) => method.toUpperCase());
    const parts = path
      .split('/')
      .map((part) => (/^\{\w+\}$/.test(part) ? '[^/]+' : part.replaceAll('.', '\\.')));
    return {
      pattern: new RegExp(`^${parts.join('/')}/?$`),
      methods: own.includes('GET') ? ['GET', 'HEAD', ...own.filter((method) => method !== 'GET')] : own,
    };
  });
}

/**
 * Answers a request by a method that its path does not have: 405 with those that it has (RFC 9110, 15.5.6), and OPTIONS
 * with these alone. What is at no known path goes on.
 */
export function onlyAllowedMethods(
  paths: Record<string, object>,
  refuse: (response: Response, error: Error) => void,
) {
  const routes = routesOf(paths);
  return ({ method, path }: Request, response: Response, next: NextFunction): void => {
    const found = routes.filter(({ pattern }) => pattern.test(path)).flatMap(({ methods }) => methods);
    if (found.length === 0 || found.includes(method)) return next();
    response.setHeader('Allow', [...new Set([...found, 'OPTIONS'])].join(', '));
    if (method === 'OPTIONS') response.status(204).end();
    else refuse(response, new MethodNotAllowedError(`This address does not answer ${method}.`));
  };
}
