/** Why the embedded broker refuses a client, or what it asked for. */
export const refusalReasons = [
  'other-site',
  'reading',
  'wrong-password',
  'revoked',
  'unknown-user',
  'no-key',
  'mqtt-5',
] as const;
export type RefusalReason = (typeof refusalReasons)[number];
