import { queryOptions } from '@tanstack/react-query';
import { client, read } from '../client.js';
import type { UnitPath } from '../queries.js';
import { asFile } from './registry.js';
import type { components } from '../schema.js';

type Schemas = components['schemas'];
export type UnitPoints = Schemas['UnitPoints'];
export type UnitPoint = UnitPoints['points'][number];
export type SparkplugMetric = Schemas['SparkplugMetrics']['metrics'][number];
export type PointTableOutcome = Schemas['PointTableOutcome'];
/** `device` empty: the edge node itself. */
export interface NodePath {
  group: string;
  edge: string;
  device: string;
}

export const unitPointsQuery = (path: UnitPath) =>
  queryOptions({
    queryKey: ['registry', 'points', path],
    queryFn: ({ signal }) =>
      read(client.GET('/api/registry/sites/{site}/units/{unit}/sparkplug', { params: { path }, signal })),
  });

export const sparkplugMetricsQuery = (path: UnitPath, { group, edge, device }: NodePath) =>
  queryOptions({
    queryKey: ['registry', 'points', path, group, edge, device],
    queryFn: ({ signal }) =>
      read(
        client.GET('/api/registry/sites/{site}/units/{unit}/sparkplug/metrics', {
          params: { path, query: { group, edge, ...(device === '' ? {} : { device }) } },
          signal,
        }),
      ),
  });

export const changePoints = (path: UnitPath, points: UnitPoint[], version: number, reason: string) =>
  read(
    client.PUT('/api/registry/sites/{site}/units/{unit}/sparkplug', {
      params: { path },
      body: {
        points: points.map(({ device, number, scale, ...point }) => ({
          ...point,
          ...(device === '' ? {} : { device }),
          ...(number === null ? {} : { number }),
          ...(scale === 1 ? {} : { scale }),
        })),
        version,
        reason,
      },
    }),
  );

export const previewPoints = (file: File) =>
  read(client.POST('/api/registry/sparkplug/preview', asFile(file)));
export const applyPoints = (file: File, reason: string) =>
  read(client.POST('/api/registry/sparkplug', { params: { query: { reason } }, ...asFile(file) }));
