import {
  pointTarget,
  type EdgeNodeAddress,
  type PointTarget,
  type SparkplugValue,
} from '@coldrounds/core/sparkplug';
import type { SparkplugPoint, Subject } from '@coldrounds/core/telemetry';
import type { IngestUnit } from '../../storage/incoming/ingest-registry.js';
import { keyOf } from './rebirth-requests.js';

/** What a unit's topics lead to. */
export interface SubjectsOfUnit {
  water: Subject;
  condenser: Subject;
  circuits: Map<number, Subject>;
  modules: Map<number, Subject>;
}

/** A unit that takes quantities from an edge node. */
export interface SparkplugUnit {
  unitId: number;
  /** `site/unit`. */
  name: string;
  /** All edge nodes and devices that it takes quantities from. */
  sources: (EdgeNodeAddress & { device: string })[];
}

interface OfNode {
  targets: Map<string, PointTarget[]>;
  units: SparkplugUnit[];
  /** Changes where its points do. */
  points: string[];
}

const metricKey = (device: string, metric: string) => `${device}\n${metric}`;

/** The points of the registry by edge node: which of its metrics is which quantity of which unit. */
export class SparkplugDirectory {
  private readonly nodes = new Map<string, OfNode>();

  constructor(units: readonly { unit: IngestUnit; subjects: SubjectsOfUnit }[]) {
    for (const { unit, subjects } of units) this.add(unit, subjects);
  }

  /** Null: no unit takes anything from it. */
  unitsOf(node: EdgeNodeAddress): SparkplugUnit[] | null {
    return this.nodes.get(keyOf(node))?.units ?? null;
  }

  targetsOf(node: EdgeNodeAddress, { device, name }: Pick<SparkplugValue, 'device' | 'name'>): PointTarget[] {
    return this.nodes.get(keyOf(node))?.targets.get(metricKey(device, name)) ?? [];
  }

  /** For each edge node a text that changes with its points. */
  signatures(): Map<string, string> {
    return new Map([...this.nodes].map(([key, { points }]) => [key, points.sort().join('\n')]));
  }

  private add({ unitId, site, unit, sparkplug = [] }: IngestUnit, subjects: SubjectsOfUnit): void {
    const own: SparkplugUnit = { unitId, name: `${site}/${unit}`, sources: [] };
    for (const point of sparkplug) {
      const { group, edge, device = '' } = point;
      const key = keyOf(point);
      let node = this.nodes.get(key);
      if (node === undefined) this.nodes.set(key, (node = { targets: new Map(), units: [], points: [] }));
      node.points.push(`${unitId} ${JSON.stringify(point)}`);
      if (!node.units.includes(own)) node.units.push(own);
      if (!own.sources.some((one) => one.group === group && one.edge === edge && one.device === device))
        own.sources.push({ group, edge, device });
      const subject = subjectOf(point, subjects);
      const target = subject === undefined ? null : pointTarget(point, subject);
      if (target === null) continue;
      const metric = metricKey(device, point.metric);
      node.targets.set(metric, [...(node.targets.get(metric) ?? []), target]);
    }
  }
}

function subjectOf({ stream, number }: SparkplugPoint, subjects: SubjectsOfUnit): Subject | undefined {
  if (stream === 'circuits') return subjects.circuits.get(number ?? 0);
  if (stream === 'backup') return subjects.modules.get(number ?? 0);
  return subjects[stream];
}
