import type { FleetRepository } from '../storage/repositories/fleet.repository.js';
import type { CircuitPath, ModulePath, UnitPath } from './paths.js';
import type { Fleet, FleetCircuit, FleetModule, FleetUnit } from './fleet.js';

/** Something is asked for that the registry or the store does not have. */
export class NotKnownError extends Error {
  override name = 'NotKnownError';
}

/** How long a copy is used before its version is compared with the store's. */
const trusted_ms = 1_000;

/** The registry: one unit is read from the store when it is asked for, the whole is kept while it does not change. */
export class FleetService {
  private loaded: { checked_ms: number; version: number; fleet: Fleet } | undefined;
  private loading: Promise<Fleet> | undefined;

  constructor(
    private readonly repository: FleetRepository,
    private readonly now: () => number = Date.now,
  ) {}

  /** The whole registry; the presence of its units is as of when it was last changed. */
  fleet(): Promise<Fleet> {
    if (this.loaded !== undefined && this.now() - this.loaded.checked_ms <= trusted_ms)
      return Promise.resolve(this.loaded.fleet);
    this.loading ??= this.refresh().finally(() => (this.loading = undefined));
    return this.loading;
  }

  private async refresh(): Promise<Fleet> {
    const checked_ms = this.now();
    const version = await this.repository.version();
    if (this.loaded?.version === version) this.loaded.checked_ms = checked_ms;
    else this.loaded = { checked_ms, version, fleet: await this.repository.load() };
    return this.loaded.fleet;
  }

  /** The registry was changed here: what is kept is not trusted any more. */
  forget(): void {
    this.loaded = undefined;
  }

  async unit(path: UnitPath): Promise<FleetUnit> {
    const unit = await this.repository.unit(path.site, path.unit);
    if (unit === null) throw new NotKnownError(`There is no unit ${path.site}/${path.unit}.`);
    return unit;
  }

  async circuit(path: CircuitPath): Promise<{ unit: FleetUnit; circuit: FleetCircuit }> {
    const unit = await this.unit(path);
    const circuit = unit.circuits.find(({ number }) => number === path.circuit);
    if (circuit === undefined)
      throw new NotKnownError(`Unit ${path.site}/${path.unit} has no circuit ${path.circuit}.`);
    return { unit, circuit };
  }

  async module(path: ModulePath): Promise<{ unit: FleetUnit; module: FleetModule }> {
    const unit = await this.unit(path);
    const module = unit.modules.find(({ number }) => number === path.module);
    if (module === undefined)
      throw new NotKnownError(`Unit ${path.site}/${path.unit} has no module ${path.module}.`);
    return { unit, module };
  }
}
