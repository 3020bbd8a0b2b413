import type { ModuleEntry } from '../telemetry/index.js';
import type { AgeingMonth, ModuleBaseline } from './ageing/index.js';

/** What is kept of an assessment after its closings have grown too old to be read again. */
export interface EarlierAssessment {
  installedOn: string;
  baseline: ModuleBaseline;
  /** Months in time order. */
  ageing: AgeingMonth[];
}

/** Nothing is kept of a module that has been replaced since: its installation date tells. */
const ofThisModule = (earlier: EarlierAssessment | null, { installedOn }: ModuleEntry) =>
  earlier?.installedOn === installedOn ? earlier : null;

/**
 * The module's own new value as it was known when its first weeks could still be read, where they no longer can: it
 * must not turn into the rated value because time has passed.
 *
 * @example keptBaseline({ from: 'rated', ... }, { installedOn, baseline: { from: 'own', ... }, ageing }, module).from // 'own'
 */
export function keptBaseline(
  found: ModuleBaseline,
  earlier: EarlierAssessment | null,
  module: ModuleEntry,
): ModuleBaseline {
  const known = ofThisModule(earlier, module)?.baseline;
  return found.from === 'rated' && known?.from === 'own' ? known : found;
}

/**
 * The months of ageing with those whose closings are out of reach. The first month found may reach only part of the way
 * back; it is told by whichever assessment saw more of its tests. Months are in time order.
 */
export function keptMonths(
  found: readonly AgeingMonth[],
  earlier: EarlierAssessment | null,
  module: ModuleEntry,
): AgeingMonth[] {
  const first = found[0];
  const before = (ofThisModule(earlier, module)?.ageing ?? []).filter(
    ({ month_s, tests }) =>
      first === undefined || month_s < first.month_s || (month_s === first.month_s && tests > first.tests),
  );
  const replaced = first !== undefined && before.at(-1)?.month_s === first.month_s;
  return [...before, ...found.slice(replaced ? 1 : 0)];
}
