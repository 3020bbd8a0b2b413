import type { BornMetric } from '@coldrounds/core';
import type { SparkplugNode } from '../../storage/registry/sparkplug.repository.js';

/** Edge nodes and devices that a page lists. */
export const mostNodes = 500;

/** Metrics without those of the standard itself, which are no quantities of a machine. */
export const quantitiesOf = (metrics: readonly BornMetric[]): BornMetric[] =>
  metrics.filter(({ name }) => name !== 'bdSeq' && !/^(Node|Device) Control\//.test(name));

export const viewOfNode = ({ bornAt, lastAt, metrics, units: _units, ...node }: SparkplugNode) => ({
  ...node,
  bornAt: bornAt?.toISOString() ?? null,
  lastAt: lastAt.toISOString(),
  metricCount: metrics === null ? null : quantitiesOf(metrics).length,
});
