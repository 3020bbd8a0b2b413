import type { PersonRole, TokenScope } from '../../api/people.js';

export const roleWords: Record<PersonRole, string> = {
  reader: 'reader',
  technician: 'technician',
  manager: 'service manager',
  engineer: 'engineer',
  administrator: 'administrator',
};

export const roleMeaning: Record<PersonRole, string> = {
  reader: 'reads everything',
  technician: 'reads, notes, closes findings after a visit',
  manager: 'also hands over, puts off, accepts, changes the registry, and makes keys of gateways',
  engineer: 'reads, notes, closes findings, changes the registry',
  administrator: 'everything, with accounts and the log',
};

export const scopeWords: Record<TokenScope, string> = {
  read: 'read',
  note: 'write notes',
  visit: 'close findings after a visit',
  plan: 'hand over, put off, accept',
  register: 'change the registry',
  metrics: 'read how the server fares',
};
