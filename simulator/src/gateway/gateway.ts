import type { FleetUnit } from '../scenario.js';
import type { ModuleSide } from './fleet-run.js';
import type { GatewayLink } from './link.js';

/** One gateway: its unit, what the unit's modules do, and its connection. */
export interface Gateway {
  unit: FleetUnit;
  modules: ModuleSide;
  link: GatewayLink;
}

export interface Progress {
  samples: number;
  closings: number;
  /** Share of the history sent. */
  share: number;
}
