import { refrigerantNames } from '@coldrounds/core/refrigerants';
import {
  circuitSubject,
  closingSubject,
  condenserSubject,
  moduleSubject,
  presenceSubject,
  waterSubject,
  type Subject,
  type TopicAddress,
  type UnreadReason,
} from '@coldrounds/core/telemetry';
import { joinedAt } from '../registry/facts/timeline.js';
import type { FactsTimeline } from '../storage/fleet.js';
import { SparkplugDirectory } from './sparkplug/sparkplug-directory.js';
import type { IngestRegistry, IngestUnit } from '../storage/incoming/ingest-registry.js';

export type Found = Subject | { unknown: UnreadReason; detail: string };

export interface UnitSubjects {
  water: Subject;
  condenser: Subject;
  presence: Subject;
  circuits: Map<number, Subject>;
  modules: Map<number, Subject>;
  closings: Map<number, Subject>;
}

/** How long the points are used without looking again. */
const sparkplugTrusted_ms = 300_000;

/**
 * Who a topic belongs to, in memory. Telemetry of a unit that is not known makes it look into the store again, as the
 * registry may have grown, but not more often than every `retryAfter_ms`, as a stranger may go on publishing.
 */
export class UnitDirectory {
  private units = new Map<string, UnitSubjects>();
  private timelines = new Map<number, FactsTimeline>();
  private present = new Map<number, FactsTimeline>();
  private asOf = 0;
  private sites = new Set<string>();
  private readonly unitIds = new WeakMap<Subject, number>();
  private points = new SparkplugDirectory([]);
  private loadedAt_ms = -Infinity;

  constructor(
    private readonly load: () => Promise<IngestRegistry>,
    private readonly retryAfter_ms = 5_000,
    private readonly now_ms: () => number = Date.now,
  ) {}

  async refresh(): Promise<void> {
    const { units, version } = await this.load();
    const known = units.map((unit) => ({ unit, subjects: subjectsOf(unit) }));
    for (const { unit, subjects } of known) {
      const { water, condenser, circuits, modules } = subjects;
      for (const subject of [water, condenser, ...circuits.values(), ...modules.values()])
        this.unitIds.set(subject, unit.unitId);
    }
    this.units = new Map(known.map(({ unit, subjects }) => [`${unit.site}/${unit.unit}`, subjects]));
    this.points = new SparkplugDirectory(known);
    this.sites = new Set(units.map((unit) => unit.site));
    this.timelines = new Map(units.flatMap(timelinesOf));
    this.present = new Map(units.flatMap(presentOf));
    this.asOf = version;
    this.loadedAt_ms = this.now_ms();
  }

  /** Number of the registry's change that it is as of. */
  get version(): number {
    return this.asOf;
  }

  /** The store's number of the unit that a subject belongs to. */
  unitIdOf(subject: Subject): number | undefined {
    return this.unitIds.get(subject);
  }

  /** What holds of a circuit now, by which its subject converts. */
  factsNow(circuitId: number): FactsTimeline | undefined {
    return this.present.get(circuitId);
  }

  /** By what the readings of a circuit are to be converted over time; undefined: by what holds now, always. */
  timelineOf(circuitId: number): FactsTimeline | undefined {
    return this.timelines.get(circuitId);
  }

  /** The registry was changed: the next unknown address may look at once. */
  invalidate(): void {
    this.loadedAt_ms = -Infinity;
  }

  async find(address: TopicAddress): Promise<Found> {
    const found = this.look(address);
    if (!('unknown' in found) && this.loadedAt_ms !== -Infinity) return found;
    if (this.now_ms() - this.loadedAt_ms < this.retryAfter_ms) return found;
    await this.refresh();
    return this.look(address);
  }

  /** Whose quantities the metrics of Sparkplug edge nodes are. */
  async sparkplug(): Promise<SparkplugDirectory> {
    const age_ms = this.now_ms() - this.loadedAt_ms;
    // A change of the registry is told of; that it was is not relied on.
    if (age_ms > sparkplugTrusted_ms) await this.refresh();
    return this.points;
  }

  private look({ site, unit, stream, number }: TopicAddress): Found {
    const subjects = this.units.get(`${site}/${unit}`);
    if (!subjects) {
      return this.sites.has(site)
        ? { unknown: 'unknown-unit', detail: `The registry has no unit ${unit} at the site ${site}.` }
        : { unknown: 'unknown-site', detail: `The registry has no site ${site}.` };
    }
    if (stream === 'water' || stream === 'condenser' || stream === 'presence') return subjects[stream];
    if (stream === 'circuits') {
      return (
        subjects.circuits.get(number!) ?? {
          unknown: 'unknown-circuit',
          detail: `The registry has no circuit ${number} on the unit ${site}/${unit}.`,
        }
      );
    }
    return (
      subjects[stream === 'closing' ? 'closings' : 'modules'].get(number!) ?? {
        unknown: 'unknown-module',
        detail: `The registry has no backup module ${number} on the unit ${site}/${unit}.`,
      }
    );
  }
}

type UnitFacts = Omit<IngestUnit, 'circuits' | 'modules' | 'site' | 'unit' | 'unitId'>;

const unitFacts = ({
  refrigerant,
  altitude_m,
  evaporator,
  reversible,
  reporting,
}: IngestUnit): UnitFacts => ({
  ...{ refrigerant, altitude_m, evaporator, reversible, reporting },
});

const changed = ({ past, pending }: IngestUnit['circuits'][number]): boolean =>
  past !== undefined || pending !== undefined;

const presentOf = (unit: IngestUnit): [number, FactsTimeline][] =>
  unit.circuits
    .filter(changed)
    .map(({ id, entry }) => [id, [{ until_s: null, facts: { ...unitFacts(unit), entry } }]]);

/** Of those circuits alone that ever changed, or whose readings are being converted anew. */
const timelinesOf = (unit: IngestUnit): [number, FactsTimeline][] =>
  unit.circuits.filter(changed).map(({ id, entry, past = [], pending }) => {
    const registered: FactsTimeline = [...past, { until_s: null, facts: { ...unitFacts(unit), entry } }];
    return [
      id,
      pending === undefined ? registered : joinedAt(registered, pending.before, pending.doneUntil_s),
    ];
  });

function subjectsOf(unit: IngestUnit): UnitSubjects {
  const known = refrigerantNames().includes(unit.refrigerant);
  return {
    water: waterSubject(unit.unitId),
    condenser: condenserSubject(unit.unitId),
    presence: presenceSubject(unit.unitId),
    circuits: new Map(
      unit.circuits.map(({ id, number, entry }) => {
        const subject = circuitSubject(id, entry, unit);
        // Without a property table the samples are stored all the same, without saturation temperatures.
        return [number, known ? subject : { ...subject, refrigerant: null }];
      }),
    ),
    modules: new Map(unit.modules.map(({ id, number }) => [number, moduleSubject(id)])),
    closings: new Map(unit.modules.map(({ id, number }) => [number, closingSubject(id)])),
  };
}
