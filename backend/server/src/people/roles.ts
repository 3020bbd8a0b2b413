/** What an account is for. Each may be limited to sites. */
export const personRoles = ['reader', 'technician', 'manager', 'engineer', 'administrator'] as const;
export type PersonRole = (typeof personRoles)[number];

/**
 * What a call may need: `read` pages and exports; `note` on a finding; `visit`: close a finding with what the visit
 * found; `plan`: hand over, put off, accept; `register`: change the registry; `admit`: make and revoke the keys of gateways;
 * `metrics`: read how the server fares; `administer` accounts and see the log.
 */
export const abilities = [
  'read',
  'note',
  'visit',
  'plan',
  'register',
  'admit',
  'metrics',
  'administer',
] as const;
export type Ability = (typeof abilities)[number];

const ofRole: Record<PersonRole, readonly Ability[]> = {
  reader: ['read'],
  technician: ['read', 'note', 'visit'],
  engineer: ['read', 'note', 'visit', 'register', 'metrics'],
  manager: ['read', 'note', 'visit', 'plan', 'register', 'admit', 'metrics'],
  administrator: abilities,
};

export const abilitiesOf = (role: PersonRole): ReadonlySet<Ability> => new Set(ofRole[role]);

/** What an API token may be made for. Accounts and keys of gateways are made by people only. */
export const tokenScopes = ['read', 'note', 'visit', 'plan', 'register', 'metrics'] as const;
export type TokenScope = (typeof tokenScopes)[number];
