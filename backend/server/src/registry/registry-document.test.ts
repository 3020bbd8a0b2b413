import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { readRegistry, RegistryError } from './registry-document.js';

const seed = () =>
  JSON.parse(readFileSync(new URL('../../../../seeds/fleet.json', import.meta.url), 'utf8')) as {
    sites: {
      key: string;
      timeZone: string;
      currency?: string;
      units: { key: string; refrigerant: string; modules: { circuits: number[] }[] }[];
    }[];
  };

const problemsOf = (document: unknown): string[] => {
  try {
    readRegistry(document);
  } catch (error) {
    if (error instanceof RegistryError) return error.problems;
    throw error;
  }
  return [];
};

describe('readRegistry', () => {
  it('reads the demo fleet', () => {
    const registry = readRegistry(seed());
    expect(registry.sites.flatMap((site) => site.units).length).toBe(24);
  });

  it('says where in the document something is wrong, by keys', () => {
    const document = seed();
    document.sites[0].timeZone = 'Nowhere/Land';
    document.sites[1].units[0].refrigerant = 'R999';
    document.sites[1].units[0].modules.push({ circuits: [77] });
    const problems = problemsOf(document).join('\n');
    expect(problems).toContain(`site "${document.sites[0].key}" timeZone`);
    expect(problems).toContain(
      `site "${document.sites[1].key}" unit "${document.sites[1].units[0].key}" modules`,
    );
  });

  it("takes a unit's kind of evaporator and a site's energy price, and fills in dry expansion", () => {
    const document = seed();
    const [first, second] = document.sites;
    Object.assign(first, { region: 'north', currency: 'EUR', energyPrice_per_kWh: 0.21 });
    Object.assign(first.units[0], { evaporator: 'flooded', reporting: 'on-change' });
    const read = readRegistry(document);
    expect(read.sites[0]).toMatchObject({ region: 'north', currency: 'EUR', energyPrice_per_kWh: 0.21 });
    expect(read.sites[0].units[0]).toMatchObject({ evaporator: 'flooded', reporting: 'on-change' });
    expect(read.sites[1].units[0]).toMatchObject({ evaporator: 'dry-expansion', reversible: false });
    second.currency = 'euro';
    expect(problemsOf(document)[0]).toContain('ISO 4217');
  });

  it('names an unknown refrigerant with the known ones', () => {
    const document = seed();
    document.sites[1].units[0].refrigerant = 'R999';
    expect(problemsOf(document)[0]).toMatch(/"R999" has no property table; known are .*R134a/);
  });

  it('refuses the same unit twice and a module of a circuit that is not there', () => {
    const document = seed();
    document.sites[0].units.push(structuredClone(document.sites[0].units[0]));
    expect(problemsOf(document).join()).toContain('twice');
    const other = seed();
    const withModule = other.sites.flatMap((site) => site.units).find((unit) => unit.modules.length > 0)!;
    withModule.modules[0].circuits = [77];
    expect(problemsOf(other).join()).toContain('names circuit 77, which the unit does not have');
  });
});
