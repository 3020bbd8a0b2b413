import type { PersonRole } from './roles.js';

/** The people of the demo. They have no password: the demo opens as the first and can switch to the others. */
export const inventedPeople: readonly { name: string; role: PersonRole }[] = [
  { name: 'Ines Calder', role: 'manager' },
  { name: 'Tomas Weir', role: 'technician' },
  { name: 'Ruta Ostrow', role: 'engineer' },
];
