/** By which property circuits, or backup modules, are put into cohorts. */
export type CircuitGroup = 'valve-size' | 'refrigerant' | 'firmware' | 'climate';
export type ModuleGroup = 'rating' | 'climate' | 'firmware' | 'refrigerant';

/** Age since installation, or weighted by temperature. */
export type Against = 'age' | 'weighted-age';

export interface CircuitQuery {
  group: CircuitGroup;
  days: number;
}

export interface ModuleQuery {
  group: ModuleGroup;
}

export interface BackupQuery extends ModuleQuery {
  against: Against;
}
