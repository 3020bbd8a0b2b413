import { FleetRepository } from '../storage/repositories/fleet.repository.js';
import type { CircuitPath, ModulePath, UnitPath } from './paths.js';
import type { Fleet, FleetCircuit, FleetModule, FleetUnit } from './fleet.js';
import { readRegistry } from './registry-document.js';

/** Something is asked for that the registry or the store does not have. */
export class NotKnownError extends Error {
  override name = 'NotKnownError';
}

/** How long a loaded registry may be used; presence and imports by other processes show after this. */
const freshFor_ms = 5_000;

/** The registry: loaded on demand, kept for a few seconds. */
export class FleetService {
  private loaded: { at_ms: number; fleet: Promise<Fleet> } | undefined;

  constructor(
    private readonly repository: FleetRepository,
    /** Told after an import, so that other processes look again. */
    private readonly changed: () => Promise<void> = async () => {},
    private readonly now: () => number = Date.now,
  ) {}

  fleet(): Promise<Fleet> {
    if (this.loaded === undefined || this.now() - this.loaded.at_ms > freshFor_ms) {
      const fleet = this.repository.load();
      const loading = { at_ms: this.now(), fleet };
      this.loaded = loading;
      fleet.catch(() => {
        if (this.loaded === loading) this.loaded = undefined;
      });
    }
    return this.loaded.fleet;
  }

  async importDocument(document: unknown): Promise<{ sites: number; units: number }> {
    const registry = readRegistry(document);
    await this.repository.import(registry);
    this.loaded = undefined;
    await this.changed();
    return {
      sites: registry.sites.length,
      units: registry.sites.reduce((sum, site) => sum + site.units.length, 0),
    };
  }

  async unit(path: UnitPath): Promise<FleetUnit> {
    const { units } = await this.fleet();
    const unit = units.find(({ key, site }) => key === path.unit && site.key === path.site);
    if (unit === undefined) throw new NotKnownError(`There is no unit ${path.site}/${path.unit}.`);
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
