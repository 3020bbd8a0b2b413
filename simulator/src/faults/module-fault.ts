/** What can be wrong with a backup module; times are days before now. */
export type ModuleFault = { module?: number; sinceDaysAgo?: number; untilDaysAgo?: number } & (
  | { kind: 'ageing-fast'; life_years: number }
  /** Part of the capacitance is lost at once, and the resistance rises. */
  | { kind: 'sudden-loss'; share: number }
  /** One cell of the string loses capacitance and leaks. */
  | { kind: 'weak-cell'; share: number }
  | { kind: 'leaking-charge'; current_A: number }
  | { kind: 'charger-low'; voltage_V: number }
  | { kind: 'health-fault' }
  | { kind: 'health-contact-stuck' }
  | { kind: 'no-self-tests' }
  /** The motor is driven, but the valve does not follow below this opening. */
  | { kind: 'valve-stuck-open'; opening_pct: number }
);
