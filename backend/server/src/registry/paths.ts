/** How a unit and what belongs to it are named outside the store. */
export interface UnitPath {
  site: string;
  unit: string;
}

export interface CircuitPath extends UnitPath {
  circuit: number;
}

export interface ModulePath extends UnitPath {
  module: number;
}

/** A stretch of time: from (in) to (out). */
export interface Span {
  from_s: number;
  to_s: number;
}
