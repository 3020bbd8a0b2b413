import type { FleetService } from '../registry/fleet.service.js';
import type { FleetCircuit, FleetModule, FleetUnit } from '../storage/fleet.js';

interface Loaded {
  at_ms: number;
  circuits: Map<number, { unit: FleetUnit; circuit: FleetCircuit }>;
  modules: Map<number, { unit: FleetUnit; module: FleetModule }>;
  units: readonly FleetUnit[];
}

/** Loading the registry of 10,000 units takes some 0.3 s, so it is kept; a change in it is told by `changed`. */
const freshFor_ms = 60_000;

/** The registry by the store's ids, as the assessment asks for it. */
export class FleetParts {
  private loading: Promise<Loaded> | undefined;
  private loadedAt_ms = -Infinity;

  constructor(
    private readonly fleet: Pick<FleetService, 'fleet'>,
    private readonly now_ms: () => number = Date.now,
  ) {}

  changed(): void {
    this.loadedAt_ms = -Infinity;
  }

  load(): Promise<Loaded> {
    if (this.loading === undefined || this.now_ms() - this.loadedAt_ms > freshFor_ms) {
      this.loadedAt_ms = this.now_ms();
      const loading = this.read();
      this.loading = loading;
      loading.catch(() => {
        if (this.loading === loading) this.loading = undefined;
      });
    }
    return this.loading;
  }

  private async read(): Promise<Loaded> {
    const { units } = await this.fleet.fleet();
    return {
      at_ms: this.now_ms(),
      units,
      circuits: new Map(
        units.flatMap((unit) => unit.circuits.map((circuit) => [circuit.id, { unit, circuit }] as const)),
      ),
      modules: new Map(
        units.flatMap((unit) => unit.modules.map((module) => [module.id, { unit, module }] as const)),
      ),
    };
  }
}
