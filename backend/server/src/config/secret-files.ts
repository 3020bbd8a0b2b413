import { readFileSync } from 'node:fs';

/** Variables that hold secrets. Each may be kept in a file instead, named by `{NAME}_FILE`. */
export const secretVariables = [
  'DATABASE_URL',
  'MQTT_PASSWORD',
  'SMTP_PASSWORD',
  'OPENID_CLIENT_SECRET',
  'READINGS_COLD_SECRET_KEY',
] as const;

export interface VariableProblem {
  variable: string;
  reason: string;
}

/** The variables with the secrets read from their files, and what could not be read. */
export function withSecretFiles(environment: Record<string, string | undefined>): {
  variables: Record<string, string | undefined>;
  problems: VariableProblem[];
} {
  const variables = { ...environment };
  const problems: VariableProblem[] = [];
  for (const name of secretVariables) {
    const path = environment[`${name}_FILE`];
    if (path === undefined || path === '') continue;
    try {
      variables[name] = readFileSync(path, 'utf8').trimEnd();
    } catch {
      problems.push({ variable: `${name}_FILE`, reason: 'names a file that Coldrounds cannot read' });
    }
  }
  return { variables, problems };
}
